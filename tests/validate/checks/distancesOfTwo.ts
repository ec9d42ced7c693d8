import { type Curve, curveOf } from "#distributions/curve.ts";
import { distances } from "#distributions/distances.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { type CheckGroup, table } from "../check.ts";

/** A log-normal curve in classes so narrow that they stand for the integral. */
function curveThrough(medianUm: number, sigma: number): Curve {
  const p = { medianUm, gsd: Math.exp(sigma) };
  const edges = Array.from({ length: 12001 }, (_, i) => Math.exp(-6 + i / 1000));
  const upperUm = edges.slice(1);
  return curveOf(
    sizeDistribution({
      quantity: "volume",
      lowerUm: edges.slice(0, -1),
      upperUm,
      shares: upperUm.map((x, i) => logNormal.cdf(p, x) - logNormal.cdf(p, edges[i] ?? 0)),
      belowShare: logNormal.cdf(p, edges[0] ?? 0),
      aboveShare: logNormal.oversize(p, edges.at(-1) ?? 0),
    }),
  );
}

const moved = distances(curveThrough(1, 0.5), curveThrough(1.2, 0.5));
const widened = distances(curveThrough(1, 0.4), curveThrough(1, 0.5));

/** Two log-normal powders, of one width a ratio of 1.2 apart, and of one median with σ 0.4 and 0.5. */
export const distancesOfTwo: readonly CheckGroup[] = [
  {
    topic: "Distances between two curves",
    kind: "identity",
    source: {
      short: "closed forms",
      full: "Two log-normal curves: largest gap 2Φ(ln ρ/2σ) − 1, overlap one less that, Wasserstein distance ln ρ, or |σ2 − σ1|√(2/π) at one median; worked out beside the code.",
      reading: "read",
    },
    checks: () =>
      table<[number]>(
        [
          ["largest gap, σ 0.5, medians 1 and 1.2, points", "14.46696", moved.maxGapPoints],
          ["overlap", "0.855330", moved.overlap],
          ["Wasserstein distance in ln x", "0.182322", moved.wassersteinLn],
          ["shift of the mean ln x", "0.182322", moved.meanLnShift],
          ["Wasserstein distance, one median, σ 0.4 and 0.5", "0.079788", widened.wassersteinLn],
        ],
        (ours) => ours,
      ),
  },
];
