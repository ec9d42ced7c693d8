import { computed, signal } from "@preact/signals";
import { knownUndersizeAt } from "#distributions/curve.ts";
import type { InClass, NamedMeasurement, Quantity } from "#distributions/measured.ts";
import { describeAnswer } from "#model/answers/describeAnswer.ts";
import { finesAnswer } from "#model/answers/finesAnswer.ts";
import { inClassEffects, underRule } from "#model/answers/inClassEffects.ts";
import { runsAnswer } from "#model/answers/runsAnswer.ts";
import { type CvLimitsName, cvLimits } from "#model/runs/cvLimits.ts";
import { looking } from "./bringIn.ts";
import { measurements } from "./kept.ts";
import { belowUm, density, productCurve, runs, stage } from "./subject.ts";

export const quantity = signal<Quantity>("volume");
export const otherPercentile = signal(97);
/** The in-class rule that means and areas are worked out with; null keeps the one the table was read with. */
export const inClass = signal<InClass | null>(null);
export const shapeFactor = signal(1);
export const limitsName = signal<CvLimitsName>("iso-13320");

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

export const described = computed(() =>
  describeAnswer(underChosenRule.value, {
    percentiles: [...new Set([10, 50, 90, otherPercentile.value])],
    as: quantity.value,
    lotsBy: "all",
    ...(density.value === null ? {} : { densityGPerCm3: density.value }),
  }),
);

export const ruleEffects = computed(() => inClassEffects(runs.value, density.value));

/** Share of the product below the chosen size, by the quantity measured. */
export const shareBelow = computed(() =>
  productCurve.value === null ? null : knownUndersizeAt(productCurve.value, belowUm.value),
);

/**
 * The runs of this stage, judged beside those of the same stage of every other lot: their scatter is pooled.
 * Each lot stands under a name of its own, so that the runs stay apart.
 */
export const repeatRuns = computed(() => {
  const others = [...measurements.value.values()].flatMap((all, i) =>
    all
      .filter((m) => m.stage === stage.value?.stage && !runs.value.includes(m))
      .map((m) => ({ ...m, file: `other lot ${i}` })),
  );
  const own = runs.value.map((run) => ({ ...run, file: "this lot" }));
  const pool = looking.value === null ? others : [];
  return runsAnswer([...own, ...pool], { limits: cvLimits[limitsName.value] });
});

export const fines = computed(() =>
  density.value === null || runs.value.length === 0
    ? null
    : finesAnswer(runs.value, { densityGPerCm3: density.value, shapeFactor: shapeFactor.value }),
);
