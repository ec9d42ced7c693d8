import erfcinv from "@stdlib/math-base-special-erfcinv";

/**
 * The standard normal value that a fraction lies below.
 * Domain: 0 < p < 1. Accuracy: 1e-14 for p ≥ 1e-20, 1e-13 down to 1e-300 (40-digit references).
 */
export function normalDeviate(fraction: number): number {
  return -Math.SQRT2 * erfcinv(2 * fraction);
}
