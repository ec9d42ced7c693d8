import { type Curve, curveOf, meanCurve, sizeAt } from "#distributions/curve.ts";
import { distances } from "#distributions/distances.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { type Estimate, estimatesOf, excludes, leaveOneOut, scaled } from "#model/lot/leaveOneOut.ts";
import { mixOf } from "./blend.ts";

/** The runs of a parent at the stage at which powder was taken, by volume. */
export interface ParentRuns {
  readonly runs: readonly NamedMeasurement[];
  /** Share of the child by volume, 0..1; those of all parents add to 1. */
  readonly share: number;
}

/** A lot held against what its parents make of it: mixed by their shares, nothing else done to them. */
export interface FromParents {
  /** The parents' mix. */
  readonly predicted: Curve;
  /** D10, D50, D90 of the mix, in µm; null outside what was measured. */
  readonly predictedUm: Readonly<Record<string, number | null>>;
  /** D measured / D of the mix, by per cent. */
  readonly percentileRatios: Readonly<Record<string, Estimate>>;
  /** 100·(exp(difference of the mean ln x) − 1), positive where the lot is coarser than the mix. */
  readonly meanShiftPercent: Estimate;
  readonly maxGapPoints: number;
  readonly atUm: number;
  /** Whether mean size and percentiles agree within the scatter of all runs, looked at together; null below three runs each. */
  readonly agrees: boolean | null;
}

const percents = [10, 50, 90] as const;

/**
 * Children and parents at one stage: a split lot is to be its parent, a blend the mix of its parents, a re-milled lot what
 * milling made of it. Intervals leave each run of each powder out (Welch and Satterthwaite); the level of the judgement is
 * shared among the four numbers looked at, so that of lots that are their parents' mix at most 5 % disagree.
 *
 * Source: blends add by volume (docs/science.md, "lot and its parents").
 */
export function fromParents(
  child: readonly NamedMeasurement[],
  parents: readonly ParentRuns[],
  level: number,
): FromParents {
  const curvesOf = (runs: readonly NamedMeasurement[]) => meanCurve(runs.map((m) => curveOf(m.distribution)));
  const shares = parents.map(({ share }) => share);
  const mixed = (powders: readonly (readonly NamedMeasurement[])[]) => {
    const curves = powders.map(curvesOf);
    const [only] = curves;
    return curves.length === 1 && only !== undefined ? only : curveOf(mixOf(curves, shares));
  };
  const predicted = mixed(parents.map(({ runs }) => runs));
  const joint = leaveOneOut([child, ...parents.map(({ runs }) => runs)], ([own = [], ...others]) => {
    const [mix, measured] = [mixed(others), curvesOf(own)];
    return [
      distances(mix, measured).meanLnShift,
      ...percents.map((p) => lnRatio(sizeAt(mix, p / 100), sizeAt(measured, p / 100))),
    ];
  });
  const looks = percents.length + 1;
  const judged = estimatesOf(joint, 1 - 0.05 / looks).map((estimate) => excludes(estimate, 0));
  const [shift = { value: null, interval: null }, ...ratios] = estimatesOf(joint, level);
  const apart = distances(predicted, curvesOf(child));
  return {
    predicted,
    predictedUm: Object.fromEntries(percents.map((p) => [String(p), sizeAt(predicted, p / 100)])),
    percentileRatios: Object.fromEntries(
      ratios.flatMap((ratio, i) =>
        percents.slice(i, i + 1).map((p) => [String(p), scaled(ratio, Math.exp)] as const),
      ),
    ),
    meanShiftPercent: scaled(shift, (ln) => 100 * (Math.exp(ln) - 1)),
    maxGapPoints: apart.maxGapPoints,
    atUm: apart.atUm,
    agrees: judged.every((isOut) => isOut === null) ? null : judged.every((isOut) => isOut !== true),
  };
}

function lnRatio(before: number | null, after: number | null): number | null {
  return before === null || after === null ? null : Math.log(after / before);
}
