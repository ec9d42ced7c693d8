import { DomainError } from "#distributions/domainError.ts";
import { normalCdf, normalQuantile } from "./normal.ts";

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
  const lower = cholesky(of.covariance);
  const scales = of.degrees === null ? null : scaleTable(of.degrees);
  const steps = primes.slice(0, count + 1).map((p) => Math.sqrt(p) % 1);
  let sum = 0;
  for (let k = 1; k <= points; k++) {
    const at = (d: number) => Math.abs(2 * ((k * (steps[d] ?? 0.5)) % 1) - 1);
    const scale = scales === null ? 1 : scaleAt(scales, at(count));
    sum += chanceAtScale(of.means, lower, limits, scale, at);
  }
  return Math.min(1, Math.max(0, sum / points));
}

function chanceAtScale(
  means: readonly number[],
  lower: readonly (readonly number[])[],
  limits: readonly Limits[],
  scale: number,
  at: (dimension: number) => number,
): number {
  let chance = 1;
  const drawn: number[] = [];
  for (const [i, mean] of means.entries()) {
    const row = lower[i] ?? [];
    const before = drawn.reduce((s, y, j) => s + (row[j] ?? 0) * y, 0);
    const own = row[i] ?? 0;
    const { low, high } = limits[i] ?? { low: null, high: null };
    const from = below(low, mean, scale, before, own, 0);
    const to = below(high, mean, scale, before, own, 1);
    if (!(to > from)) return 0;
    chance *= to - from;
    const p = from + at(i) * (to - from);
    drawn.push(normalQuantile(Math.min(Math.max(p, 1e-15), 1 - 1e-15)));
  }
  return chance;
}

/** The chance of the next standard normal value leaving the number under a limit; with no spread of its own it is 0 or 1. */
function below(
  limit: number | null,
  mean: number,
  scale: number,
  before: number,
  own: number,
  none: number,
): number {
  if (limit === null) return none;
  const room = (limit - mean) * scale - before;
  if (own > 0) return normalCdf(Math.min(Math.max(room / own, -37), 37));
  return none === 0 ? (room > 0 ? 1 : 0) : room >= 0 ? 1 : 0;
}

/** L of covariance = L Lᵀ; a number that others determine gets a zero on the diagonal. */
function cholesky(covariance: readonly (readonly number[])[]): number[][] {
  const lower: number[][] = [];
  for (const [i, row] of covariance.entries()) {
    const own: number[] = [];
    for (let j = 0; j <= i; j++) {
      const other = lower[j] ?? own;
      let left = row[j] ?? 0;
      for (let k = 0; k < j; k++) left -= (own[k] ?? 0) * (other[k] ?? 0);
      if (j < i) own.push((other[j] ?? 0) > 0 ? left / (other[j] ?? 1) : 0);
      else own.push(left > 1e-12 * (row[i] ?? 0) ? Math.sqrt(left) : 0);
    }
    lower.push(own);
  }
  return lower;
}

const primes = [2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43];

export interface ScaleTable {
  readonly at: readonly number[];
  readonly share: readonly number[];
}

/** The distribution of √(χ²_ν/ν) on an even grid, by trapezoids of its density s^(ν−1) exp(−ν s²/2). */
export function scaleTable(degrees: number): ScaleTable {
  const count = 1200;
  const widest = 1 + 8 / Math.sqrt(2 * degrees);
  const at = Array.from({ length: count + 1 }, (_, i) => (widest * i) / count);
  const density = at.map((s) =>
    s === 0
      ? degrees > 1
        ? 0
        : Math.exp(degrees / 2)
      : Math.exp((degrees - 1) * Math.log(s) - (degrees * (s * s - 1)) / 2),
  );
  let sum = 0;
  const share = at.map((_, i) => {
    if (i > 0) sum += (density[i] ?? 0) + (density[i - 1] ?? 0);
    return sum;
  });
  return { at, share: share.map((s) => s / sum) };
}

export function scaleAt({ at, share }: ScaleTable, p: number): number {
  let low = 0;
  let high = share.length - 1;
  while (high - low > 1) {
    const mid = (low + high) >> 1;
    if ((share[mid] ?? 0) < p) low = mid;
    else high = mid;
  }
  const [a = 0, b = 1] = [share[low], share[high]];
  const part = b > a ? (p - a) / (b - a) : 0;
  return (at[low] ?? 0) + part * ((at[high] ?? 0) - (at[low] ?? 0));
}
