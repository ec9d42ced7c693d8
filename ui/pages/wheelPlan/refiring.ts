import { computed, effect } from "@preact/signals";
import { curveOf, meanCurve } from "#distributions/curve.ts";
import { refiringOf, usualSteps } from "#model/lot/processSteps.ts";
import { pairOfCurves } from "#model/mill/prediction/refiredCurve.ts";
import { address } from "#ui/data/address.ts";
import { plannedStages } from "#ui/data/calibration.ts";
import { lots, measurements } from "#ui/data/entries.ts";
import { askGround, isGroundHere, taughtRuns } from "#ui/data/ground.ts";
import { band, lot } from "#ui/data/selection.ts";
import { areStepsHere, stepsOf } from "#ui/data/steps.ts";
import { excludedLots } from "./priors.ts";

/** From which stage to which the milled powder of the material is heat treated, whatever the lab calls the steps. */
export const refiring = computed(() => {
  const steps = stepsOf(lot.value?.material ?? "");
  const target = band.value?.stage ?? null;
  return refiringOf(steps, target) ?? refiringOf(usualSteps, target);
});

/** Whose lots a plan for the next lot learns its growth from. */
const asked = computed(() =>
  lot.value === null || refiring.value === null
    ? null
    : { lotId: lot.value.id, stage: refiring.value.to, withItself: true },
);

/** Whether the steps of the material and the lots that teach their growth are here: before, the plan would be another. */
export const isPlanGrounded = computed(
  () => areStepsHere.value && (asked.value === null || isGroundHere(asked.value)),
);

effect(() => {
  if (address.value.page !== "wheel-plan" || asked.value === null) return;
  askGround(asked.value);
  const { from = "milled", to = "re-fired" } = refiring.peek() ?? {};
  if (plannedStages.peek().join() !== [from, to].join()) plannedStages.value = [from, to];
});

/** Every lot that teaches and has runs before and after re-firing, as a pair of mean curves, oldest first. */
export const refiredLots = computed(() => {
  const [of, steps] = [asked.value, refiring.value];
  if (of === null || steps === null) return [];
  return taughtRuns(of).flatMap(({ lotId, runs }) => {
    const name = lots.value.find(({ id }) => id === lotId)?.name;
    const milled = (measurements.value.get(lotId) ?? []).filter((m) => m.stage === steps.from);
    if (name === undefined || milled.length === 0) return [];
    const mean = (all: typeof runs) => meanCurve(all.map((m) => curveOf(m.distribution)));
    const pair = pairOfCurves(name, mean(milled), mean(runs));
    return pair === null ? [] : [{ id: lotId, pair }];
  });
});

/** The band as the plan asks about it: one for the milled powder is for what leaves the mill, whatever the lab calls that step. */
export const bandPlanned = computed(() =>
  band.value === null || band.value.stage !== refiring.value?.from
    ? band.value
    : { ...band.value, stage: "milled" },
);

/** What the target before re-firing is set back by; nothing where the band is for the milled powder itself. */
export const refiringPairs = computed(() =>
  band.value?.stage === refiring.value?.from
    ? []
    : refiredLots.value.filter(({ id }) => !excludedLots.value.has(id)).map(({ pair }) => pair),
);
