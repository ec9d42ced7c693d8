import { expect, test } from "vitest";
import { curveOf, sizeAt } from "#distributions/curve.ts";
import { neighbours } from "#distributions/lists.ts";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { tiedToSizes } from "#model/mill/prediction/tiedToSizes.ts";

/** Classes whose edges are percentiles but for rounding: sums of tenths end a rounding off. */
const curve = curveOf(
  sizeDistribution({
    quantity: "volume",
    lowerUm: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10],
    upperUm: [2, 3, 4, 5, 6, 7, 8, 9, 10, 11],
    shares: Array.from({ length: 10 }, () => 0.1),
  }),
);

test.each([0.999999, 1, 1.3, 0.4])(
  "a percentile that is an edge but for rounding makes no class without width, widths times %s",
  (width) => {
    const asked = { d10Um: 3 * 0.4 ** width, d50Um: 3, d90Um: 3 * 2 ** width };
    const tied = tiedToSizes(curve, asked);
    for (const [below, above] of neighbours(tied.edgesUm)) expect(above).toBeGreaterThan(below * (1 + 1e-12));
    expect(sizeAt(tied, 0.1)).toBeCloseTo(asked.d10Um, 9);
    expect(sizeAt(tied, 0.5)).toBeCloseTo(asked.d50Um, 9);
    expect(sizeAt(tied, 0.9)).toBeCloseTo(asked.d90Um, 9);
  },
);
