import { type SizeDistribution, sizeDistribution } from "#distributions/sizeDistribution.ts";

/** The screens as classes in rising order, in mm, which moments do not mind. */
export function screens(
  rows: readonly (readonly [number, number, ...unknown[]])[],
  pan: number,
): SizeDistribution {
  const rising = [...rows].reverse();
  const sizes = rising.map(([opening]) => opening);
  return sizeDistribution({
    quantity: "volume",
    inClass: "arithmetic-mid",
    lowerUm: sizes.slice(0, -1),
    upperUm: sizes.slice(1),
    shares: rising.slice(0, -1).map(([, share]) => share),
    belowShare: pan,
  });
}

/** The same with what fell into the pan left out and the rest rescaled. */
export function withoutPan(m: SizeDistribution): SizeDistribution {
  const seen = 1 - m.belowShare;
  return sizeDistribution({ ...m, shares: m.shares.map((v) => v / seen), belowShare: 0 });
}
