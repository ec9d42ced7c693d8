import { mean } from "simple-statistics";
import { geometricSurface, meanDiameterUm } from "#distributions/moments.ts";
import {
  type InClass,
  inClassRules,
  type NamedMeasurement,
  type SizeDistribution,
  sizeDistribution,
} from "#distributions/sizeDistribution.ts";

/** Means and area under one in-class rule, mean over the runs; null where a run cannot tell. */
export interface InClassEffect {
  readonly rule: InClass;
  readonly deBrouckereUm: number | null;
  readonly sauterUm: number | null;
  readonly numberMeanUm: number | null;
  readonly surfaceM2PerG: number | null;
}

/** The same distribution, its classes read by another rule. A converted one keeps the rule it was converted by. */
export function underRule(m: SizeDistribution, rule: InClass): SizeDistribution {
  return m.quantity === m.measuredAs ? sizeDistribution({ ...m, inClass: rule }) : m;
}

/** What each in-class rule makes of the same runs: how much an answer rests on the choice. Source: docs/science.md. */
export function inClassEffects(
  runs: readonly NamedMeasurement[],
  densityGPerCm3: number | null,
): InClassEffect[] {
  return inClassRules.map((rule) => {
    const under = runs.map((run) => underRule(run.distribution, rule));
    const over = (of: (m: SizeDistribution) => number | null) => {
      const values = under.map(of).filter((v) => v !== null);
      return values.length < under.length || values.length === 0 ? null : mean(values);
    };
    return {
      rule,
      deBrouckereUm: over((m) => meanDiameterUm(m, 4, 3)),
      sauterUm: over((m) => meanDiameterUm(m, 3, 2)),
      numberMeanUm: over((m) => meanDiameterUm(m, 1, 0)),
      surfaceM2PerG: over((m) =>
        densityGPerCm3 === null ? null : (geometricSurface(m, densityGPerCm3)?.m2PerG ?? null),
      ),
    };
  });
}
