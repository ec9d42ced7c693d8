import erfcinv from "@stdlib/math-base-special-erfcinv";

/** The deviate below which a fraction lies. */
export function normalDeviate(fraction: number): number {
  return -Math.SQRT2 * erfcinv(2 * fraction);
}
