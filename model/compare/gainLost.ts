import { curveOf, meanCurve } from "#distributions/curve.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { type Estimate, estimatesOf, leaveOneOut } from "#model/lot/leaveOneOut.ts";
import { distances } from "../../distributions/distances.ts";

/** How much of what milling gained, re-firing undid. */
export interface GainLost {
  /** W1(re-fired, milled)/W1(before milling, milled): how far the curve moved, whichever way. */
  readonly share: Estimate;
  /** The same by the mean ln x, negative where re-firing made the powder finer still. */
  readonly signedShare: Estimate;
}

/**
 * Share of the milling gain lost on re-firing, with intervals from leaving runs out.
 * Null shares where milling moved nothing.
 * Source: docs/science.md.
 */
export function gainLostOf(
  before: readonly NamedMeasurement[],
  milled: readonly NamedMeasurement[],
  refired: readonly NamedMeasurement[],
  level: number,
): GainLost {
  const curves = [before, milled, refired].map((runs) => runs.map((m) => curveOf(m.distribution)));
  const joint = leaveOneOut(curves, ([a = [], b = [], c = []]) => {
    const mill = meanCurve(b);
    const gain = distances(meanCurve(a), mill);
    const loss = distances(mill, meanCurve(c));
    return gain.wassersteinLn > 0 && gain.meanLnShift !== 0
      ? [loss.wassersteinLn / gain.wassersteinLn, -loss.meanLnShift / gain.meanLnShift]
      : [null, null];
  });
  const [share, signedShare] = estimatesOf(joint, level);
  const none = { value: null, interval: null };
  return { share: share ?? none, signedShare: signedShare ?? none };
}
