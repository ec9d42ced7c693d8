import { curveOf, sizeAt } from "#distributions/curve.ts";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import type { CheckGroup } from "../check.ts";

/** Printed sizes in φ = −log2 mm, by the share of the sand that is coarser. */
const printed: readonly (readonly [coarser: number, phi: number])[] = [
  [0.05, 0.56],
  [0.16, 0.8],
  [0.25, 0.93],
  [0.5, 1.37],
  [0.75, 1.87],
  [0.84, 2.08],
  [0.95, 2.48],
];

const rising = [...printed].reverse();
const sizesUm = rising.map(([, phi]) => 1000 * 2 ** -phi);
const finer = rising.map(([coarser]) => 1 - coarser);
const curve = curveOf(
  sizeDistribution({
    quantity: "volume",
    lowerUm: sizesUm.slice(0, -1),
    upperUm: sizesUm.slice(1),
    shares: finer.slice(1).map((q, i) => q - (finer[i] ?? 0)),
    belowShare: 0.05,
    aboveShare: 0.05,
  }),
);

/** φ of the size that this percentage is coarser than, read off our curve. */
function phi(percentCoarser: number): number {
  return -Math.log2((sizeAt(curve, 1 - percentCoarser / 100) ?? Number.NaN) / 1000);
}

const meanPhi = () => (phi(16) + phi(50) + phi(84)) / 3;
const central = () => (phi(16) + phi(84) - 2 * phi(50)) / (2 * (phi(84) - phi(16)));
const tails = () => (phi(5) + phi(95) - 2 * phi(50)) / (2 * (phi(95) - phi(5)));

/** Graphic statistics of a beach sand from the percentiles of a curve that is straight in ln x. */
export const phiStatistics: readonly CheckGroup[] = [
  {
    topic: "Sieve and screen analyses",
    kind: "printed",
    source: {
      short: "EM 1110-2-1100, example III-1-1",
      full: "US Army Corps of Engineers, Coastal Engineering Manual EM 1110-2-1100, part III, 30 April 2002, example problem III-1-1.",
      reading: "read",
    },
    checks: () => [
      { quantity: "median, mm", published: "0.39", ours: () => (sizeAt(curve, 0.5) ?? Number.NaN) / 1000 },
      { quantity: "mean, φ", published: "1.42", ours: meanPhi },
      { quantity: "mean, mm", published: "0.37", ours: () => 2 ** -meanPhi() },
      {
        quantity: "standard deviation, φ (the manual divides the outer range by 6)",
        published: "0.64",
        ours: () => (phi(84) - phi(16)) / 4 + (phi(95) - phi(5)) / 6,
      },
      { quantity: "skewness, first term", published: "0.055", ours: central },
      { quantity: "skewness, second term", published: "0.078", ours: tails },
      { quantity: "skewness", published: "0.13", ours: () => central() + tails() },
      {
        quantity: "kurtosis",
        published: "0.84",
        ours: () => (phi(95) - phi(5)) / (2.44 * (phi(75) - phi(25))),
      },
    ],
  },
];
