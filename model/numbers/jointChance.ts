import { DomainError } from "#distributions/domainError.ts";
import { normalDeviate } from "#distributions/families/normalDeviate.ts";
import { normalForm } from "#distributions/families/normalForm.ts";
import { straightAt } from "#distributions/kernels/sorted.ts";
import { itemAt } from "#distributions/lists.ts";
import { choleskyOfCovariance } from "./cholesky.ts";
import { chanceAtScale, latticePoint, runningShare } from "./kernels/jointChance.ts";

/** Two limits for one of several numbers; null for none on that side. */
export interface Limits {
  readonly low: number | null;
  readonly high: number | null;
}

/** Several numbers that err together: Student's t with one number of degrees of freedom, or normal where that is null. */
export interface JointError {
  readonly means: readonly number[];
  readonly covariance: readonly (readonly number[])[];
  readonly degrees: number | null;
}

const points = 2039;

/**
 * The chance that all true values lie within their limits at once: a rectangle of the multivariate t.
 * Deterministic: the separated integral over a lattice of 2,039 points, the scale √(χ²_ν/ν) as one more dimension.
 *
 * @param of  covariance of the means' own errors; it may be singular
 * @throws    DomainError  lists of different length
 * Accuracy:  0.003 up to six numbers, against tables and closed forms (tests/model/numbers/jointChance.test.ts).
 * Source:    Genz (1992), Genz and Bretz (2002): separation of variables; lattice of square roots of primes (Richtmyer).
 */
export function chanceAllWithin(of: JointError, limits: readonly Limits[]): number {
  const count = of.means.length;
  if (limits.length !== count) throw new DomainError("limits", `must match ${count} means`, limits.length);
  if (count === 0) return 1;
  const box = {
    means: of.means,
    lower: choleskyOfCovariance(of.covariance),
    lows: Float64Array.from(limits, ({ low }) => low ?? Number.NEGATIVE_INFINITY),
    highs: Float64Array.from(limits, ({ high }) => high ?? Number.POSITIVE_INFINITY),
  };
  const scales = of.degrees === null ? null : scaleTable(of.degrees);
  // One dimension more, for the scale.
  const steps = Float64Array.from(primes(count + 1), (p) => Math.sqrt(p) % 1);
  let sum = 0;
  for (let k = 1; k <= points; k++) {
    const place = latticePoint(steps, k);
    const scale = scales === null ? 1 : straightAt(scales.share, scales.at, itemAt(place, -1));
    sum += chanceAtScale(box, scale, place, standardNormal);
  }
  return Math.min(1, Math.max(0, sum / points));
}

const standardNormal = { cdf: normalForm.undersize, quantile: normalDeviate };

/** The first primes, as many as are asked for. */
function primes(count: number): number[] {
  const found: number[] = [];
  for (let n = 2; found.length < count; n++) if (found.every((p) => n % p !== 0)) found.push(n);
  return found;
}

interface ScaleTable {
  readonly at: Float64Array;
  readonly share: Float64Array;
}

/** The quantiles of √(χ²_ν/ν), by a table made once. Accuracy: 1e-4 of itself from 1e-6 to 1 − 1e-6. */
export function scaleQuantiles(degrees: number): (p: number) => number {
  const { share, at } = scaleTable(degrees);
  return (p) => straightAt(share, at, p);
}

/** The distribution of √(χ²_ν/ν) on an even grid, by trapezoids of its density s^(ν−1) exp(−ν s²/2). */
function scaleTable(degrees: number): ScaleTable {
  const count = 1200;
  const widest = 1 + 8 / Math.sqrt(2 * degrees);
  const at = Float64Array.from({ length: count + 1 }, (_, i) => (widest * i) / count);
  const atZero = degrees > 1 ? 0 : Math.exp(degrees / 2);
  const density = at.map((s) =>
    s === 0 ? atZero : Math.exp((degrees - 1) * Math.log(s) - (degrees * (s * s - 1)) / 2),
  );
  return { at, share: runningShare(density) };
}
