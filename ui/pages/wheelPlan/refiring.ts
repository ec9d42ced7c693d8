import { computed } from "@preact/signals";
import { curveOf, meanCurve } from "#distributions/curve.ts";
import { pairOfCurves } from "#model/mill/prediction/refiredCurve.ts";
import { measurements } from "#ui/data/entries.ts";
import { band, ownLots } from "#ui/data/selection.ts";
import { excludedLots } from "./priors.ts";

/** Every saved lot of the material that has both milled and re-fired runs, as a pair of mean curves. */
export const refiredLots = computed(() =>
  ownLots.value.flatMap((lot) => {
    const of = (stage: string) => {
      const runs = (measurements.value.get(lot.id) ?? []).filter((m) => m.stage === stage);
      return runs.length === 0 ? null : meanCurve(runs.map((m) => curveOf(m.distribution)));
    };
    const milled = of("milled");
    const refired = of("re-fired");
    const pair = milled === null || refired === null ? null : pairOfCurves(lot.name, milled, refired);
    return pair === null ? [] : [{ id: lot.id, pair }];
  }),
);

/** What the target before re-firing is set back by; nothing where the band is for the milled powder itself. */
export const refiringPairs = computed(() =>
  band.value?.stage === "milled"
    ? []
    : refiredLots.value.filter(({ id }) => !excludedLots.value.has(id)).map(({ pair }) => pair),
);
