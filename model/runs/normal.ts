import erfc from "@stdlib/math-base-special-erfc";
import erfcinv from "@stdlib/math-base-special-erfcinv";

/** The chance that a standard normal value is at most z; right in both tails. */
export function normalCdf(z: number): number {
  return 0.5 * erfc(-z * Math.SQRT1_2);
}

/** The standard normal value that a chance p lies below. */
export function normalQuantile(p: number): number {
  return -Math.SQRT2 * erfcinv(2 * p);
}
