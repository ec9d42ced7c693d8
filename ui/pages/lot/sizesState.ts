import { computed, signal } from "@preact/signals";
import { knownUndersizeAt } from "#distributions/curve.ts";
import type { InClass, NamedMeasurement, Quantity } from "#distributions/sizeDistribution.ts";
import { describeAnswer } from "#model/answers/lot/describeAnswer.ts";
import { finesAnswer } from "#model/answers/lot/finesAnswer.ts";
import { inClassEffects, underRule } from "#model/answers/lot/inClassEffects.ts";
import { runsAnswer } from "#model/answers/lot/runsAnswer.ts";
import { type CvLimits, type CvLimitsName, cvLimits } from "#model/lot/cvLimits.ts";
import { keptRuns } from "#ui/data/ground.ts";
import { belowUm, density, productCurve, runs } from "#ui/data/selection.ts";

export const quantity = signal<Quantity>("volume");
export const otherPercentile = signal(97);
/** The in-class rule that means and areas are worked out with; null keeps the one the table was read with. */
export const inClass = signal<InClass | null>(null);
export const shapeFactor = signal(1);
/** Which limits the repeat runs are held to; "own" ones are typed beside them. */
export const limitsName = signal<CvLimitsName | "own">("iso-13320");
export const ownLimits = signal<CvLimits>({
  ...cvLimits["iso-13320"],
  doubledBelowUm: null,
  source: "your own",
});

const underChosenRule = computed<readonly NamedMeasurement[]>(() => {
  const rule = inClass.value;
  return rule === null
    ? runs.value
    : runs.value.map((run) => ({ ...run, distribution: underRule(run.distribution, rule) }));
});

/** The rule in force: the one chosen, else the first run's own. */
export const ruleInForce = computed<InClass>(
  () => inClass.value ?? runs.value[0]?.distribution.inClass ?? "log-uniform",
);

const thisLot = "this lot";

/**
 * The runs of the lots that teach, each lot under a file name of its own so that the runs stay apart: their scatter is pooled.
 */
const otherLots = computed<readonly NamedMeasurement[]>(() =>
  keptRuns.value
    .filter((all) => all.length > 1)
    .flatMap((all, i) => all.map((m) => ({ ...m, file: `other lot ${i}` }))),
);

/** Whether other saved lots lend their scatter. */
export const isPooled = computed(() => otherLots.value.length > 0);

const asThisLot = (all: readonly NamedMeasurement[]) => all.map((run) => ({ ...run, file: thisLot }));

const describedWithOthers = computed(() =>
  describeAnswer([...asThisLot(underChosenRule.value), ...otherLots.value], {
    percentiles: [...new Set([10, 50, 90, otherPercentile.value])],
    as: quantity.value,
    ...(density.value === null ? {} : { densityGPerCm3: density.value }),
  }),
);

/** This lot's runs, and the same over them; the other lots only lend their scatter. */
export const described = computed(() => {
  const { measurements: all, lots, problems } = describedWithOthers.value;
  const isOwn = ({ file }: { readonly file: string | null }) => file === thisLot || file === null;
  return { measurements: all.filter(isOwn), lots: lots.filter(isOwn), problems: problems.filter(isOwn) };
});

export const ruleEffects = computed(() => inClassEffects(runs.value, density.value));

/** Share of the product below the chosen size, by the quantity measured. */
export const shareBelow = computed(() =>
  productCurve.value === null ? null : knownUndersizeAt(productCurve.value, belowUm.value),
);

/** The repeat runs of this lot, with the scatter pooled over the others. */
export const repeatRuns = computed(() => {
  const answer = runsAnswer([...asThisLot(runs.value), ...otherLots.value], {
    limits: limitsName.value === "own" ? ownLimits.value : cvLimits[limitsName.value],
  });
  return { ...answer, lot: answer.lots.find(({ file }) => file === thisLot) ?? null };
});

export const fines = computed(() =>
  density.value === null || runs.value.length === 0
    ? null
    : finesAnswer(runs.value, { densityGPerCm3: density.value, shapeFactor: shapeFactor.value }),
);
