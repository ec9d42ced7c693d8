import { mean, sampleVariance } from "simple-statistics";
import { type Curve, undersizeAt } from "#distributions/curve.ts";
import { DomainError } from "#distributions/domainError.ts";
import { minRuns } from "#model/lot/intervals.ts";
import type { Estimate } from "#model/lot/leaveOneOut.ts";
import { tQuantile } from "#model/numbers/studentT.ts";

/**
 * How the undersize of one powder differs from another's at each size, b less a, percentage points; the interval holds for
 * each size by itself, not for the whole curve at once.
 *
 * @returns one a size; without an interval where a side has fewer than three runs
 * @throws  DomainError  a side without runs
 * Source: difference of two means by Welch's t (NIST/SEMATECH e-Handbook 1.3.5.3).
 */
export function undersizeDifference(
  a: readonly Curve[],
  b: readonly Curve[],
  sizesUm: readonly number[],
  level = 0.95,
): Estimate[] {
  if (a.length === 0 || b.length === 0) throw new DomainError("runs", "must be at least one on each side", 0);
  return sizesUm.map((sizeUm): Estimate => {
    const pointsOf = (runs: readonly Curve[]) => runs.map((run) => 100 * undersizeAt(run, sizeUm));
    return meanDifference(pointsOf(a), pointsOf(b), level);
  });
}

function meanDifference(before: readonly number[], after: readonly number[], level: number): Estimate {
  const value = mean([...after]) - mean([...before]);
  if (before.length < minRuns || after.length < minRuns) return { value, interval: null };
  const parts = [before, after].map((runs) => ({
    ofMean: sampleVariance([...runs]) / runs.length,
    degrees: runs.length - 1,
  }));
  const whole = parts.reduce((sum, { ofMean }) => sum + ofMean, 0);
  if (!(whole > 0)) return { value, interval: { low: value, high: value, level } };
  const degrees = whole ** 2 / parts.reduce((sum, part) => sum + part.ofMean ** 2 / part.degrees, 0);
  const reach = tQuantile(0.5 + level / 2, degrees) * Math.sqrt(whole);
  return { value, interval: { low: value - reach, high: value + reach, level } };
}
