/** A box about several numbers that err together: covariance L·Lᵀ, an open side is infinite. */
export interface LimitBox {
  readonly means: ArrayLike<number>;
  readonly lower: readonly Float64Array[];
  readonly lows: Float64Array;
  readonly highs: Float64Array;
}

export interface StandardNormal {
  readonly cdf: (z: number) => number;
  readonly quantile: (p: number) => number;
}

/**
 * The chance of the box over one point of the lattice: each number's own chance, given those before it.
 * @param scale  √(χ²_ν/ν) there @param place  a place in 0 … 1 for each number
 */
export function chanceAtScale(
  { means, lower, lows, highs }: LimitBox,
  scale: number,
  place: Float64Array,
  normal: StandardNormal,
): number {
  let chance = 1;
  const drawn = new Float64Array(means.length);
  for (let i = 0; i < means.length; i++) {
    let before = 0;
    for (let j = 0; j < i; j++) before += lower[i][j] * drawn[j];
    const own = lower[i][i];
    const room = (limit: number) => (limit - means[i]) * scale - before;
    // With no spread of its own the number lies within or not.
    const from = own > 0 ? normal.cdf(within37(room(lows[i]) / own)) : room(lows[i]) > 0 ? 1 : 0;
    const to = own > 0 ? normal.cdf(within37(room(highs[i]) / own)) : room(highs[i]) >= 0 ? 1 : 0;
    if (!(to > from)) return 0;
    chance *= to - from;
    drawn[i] = normal.quantile(Math.min(Math.max(from + place[i] * (to - from), 1e-15), 1 - 1e-15));
  }
  return chance;
}

function within37(z: number): number {
  return Math.min(Math.max(z, -37), 37);
}

/** The point of the lattice: 0 … 1 along each dimension, folded so that both ends meet. */
export function latticePoint(steps: Float64Array, k: number): Float64Array {
  return steps.map((step) => Math.abs(2 * ((k * step) % 1) - 1));
}

/** Running sums of trapezoids over the whole, from 0 to 1. */
export function runningShare(density: Float64Array): Float64Array {
  const share = new Float64Array(density.length);
  for (let i = 1; i < density.length; i++) share[i] = share[i - 1] + density[i] + density[i - 1];
  const whole = share[share.length - 1];
  for (let i = 0; i < share.length; i++) share[i] /= whole;
  return share;
}
