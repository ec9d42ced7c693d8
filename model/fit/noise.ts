import { curveOf, meanCurve, undersizeAt } from "#distributions/curve.ts";
import { zip } from "#distributions/lists.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";

/** One run says nothing of the noise between runs; this many points are then taken for it. A judgement of ours. */
export const noiseOfOneRunPoints = 0.3;

/** Run-to-run rms of Q about the mean curve, in points: what a misfit must fall by to mean anything. docs/science.md. */
export function noisePoints(runs: readonly NamedMeasurement[]): number {
  if (runs.length < 2) return noiseOfOneRunPoints;
  const curves = runs.map((m) => curveOf(m.distribution));
  const mean = meanCurve(curves);
  const inside = zip(mean.edgesUm, mean.undersize).flatMap(([x, q]) => (q > 0 && q < 1 ? [x] : []));
  let sum = 0;
  for (const x of inside) {
    const middle = undersizeAt(mean, x);
    for (const curve of curves) sum += (undersizeAt(curve, x) - middle) ** 2;
  }
  return inside.length === 0
    ? noiseOfOneRunPoints
    : 100 * Math.sqrt(sum / (inside.length * (curves.length - 1)));
}
