/** A stretch of a normal value, in its own standard deviations, and the chance of it. */
export interface Stretch {
  readonly low: number;
  readonly high: number;
  readonly chance: number;
}

/**
 * The chance that two normal values that go together with correlation r lie each in its stretch: the product of the two
 * chances and ∫₀ʳ of the density at the four corners, 6-point Gauss–Legendre.
 * Source: Plackett (1954), dΦ₂/dr = φ₂ (from memory).
 */
export function bothWithin(first: Stretch, second: Stretch, r: number): number {
  let sum = 0;
  for (const [place, weight] of nodes)
    for (const side of [-1, 1]) {
      const at = (r / 2) * (1 + side * place);
      sum +=
        weight *
        (corner(first.high, second.high, at) -
          corner(first.low, second.high, at) -
          corner(first.high, second.low, at) +
          corner(first.low, second.low, at));
    }
  return Math.min(Math.max(first.chance * second.chance + (r / 2) * sum, 0), 1);
}

/** φ₂ of two standard normal values of correlation r. */
function corner(h: number, k: number, r: number): number {
  const rest = 1 - r * r;
  return Math.exp(-(h * h - 2 * r * h * k + k * k) / (2 * rest)) / (2 * Math.PI * Math.sqrt(rest));
}

/** Abscissae and weights of one half (Abramowitz and Stegun, table 25.4, from memory). */
const nodes: readonly (readonly [number, number])[] = [
  [0.2386191860831969, 0.467913934572691],
  [0.6612093864662645, 0.3607615730481386],
  [0.9324695142031521, 0.1713244923791704],
];
