import type { Curve } from "#distributions/curve.ts";
import { itemAt, neighbours } from "#distributions/lists.ts";
import { type SizeDistribution, sizeDistribution } from "#distributions/sizeDistribution.ts";

/** A computed undersize curve as a distribution by volume, so that the area and the means speak of it too. */
export function measuredCurve({ edgesUm, undersize }: Curve): SizeDistribution {
  const shares = neighbours(undersize).map(([below, q]) => Math.max(0, q - below));
  const belowShare = itemAt(undersize, 0);
  const sum = belowShare + shares.reduce((a, b) => a + b, 0);
  return sizeDistribution({
    quantity: "volume",
    lowerUm: edgesUm.slice(0, -1),
    upperUm: edgesUm.slice(1),
    shares: shares.map((v) => v / sum),
    belowShare: belowShare / sum,
  });
}
