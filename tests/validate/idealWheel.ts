/** Closed form of a grinding zone with an ideal wheel; its own arithmetic, beside the code. */
export interface IdealWheel {
  readonly cutUm: number;
  /** S(x_c) over the wheel's offer rate. */
  readonly load: number;
  readonly rateExponent: number;
  readonly fragmentExponent: number;
}

/** Q(x) = { (x/x_c)·[(1+U)/(1+U(x/x_c)^α)]^{1/α} }^β for feed coarser than the cut. */
export function idealUndersize(
  { cutUm, load, rateExponent, fragmentExponent }: IdealWheel,
  x: number,
): number {
  const z = x / cutUm;
  return (z * ((1 + load) / (1 + load * z ** rateExponent)) ** (1 / rateExponent)) ** fragmentExponent;
}

/** D_q = x_c s [1+U(1−s^α)]^{−1/α}, s = q^{1/β}. */
export function idealSize({ cutUm, load, rateExponent, fragmentExponent }: IdealWheel, q: number): number {
  const s = q ** (1 / fragmentExponent);
  return cutUm * s * (1 + load * (1 - s ** rateExponent)) ** (-1 / rateExponent);
}
