import { logNormal } from "#distributions/families/logNormal.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { type NamedMeasurement, sizeDistribution } from "#distributions/sizeDistribution.ts";

/** Classes from 0.1 to 100 µm of a made-up undersize curve, wholly seen. */
function powder(name: string, undersize: (sizeUm: number) => number): NamedMeasurement {
  const classes = 60;
  const edges = Array.from({ length: classes + 1 }, (_, i) => 0.1 * 1000 ** (i / classes));
  const weights = edges.slice(1).map((x, i) => Math.max(0, undersize(x) - undersize(edges[i] ?? 0)));
  const sum = weights.reduce((a, b) => a + b, 0);
  return {
    file: null,
    name,
    distribution: sizeDistribution({
      quantity: "volume",
      lowerUm: edges.slice(0, -1),
      upperUm: edges.slice(1),
      shares: weights.map((w) => w / sum),
    }),
  };
}

const narrow = powder(
  "a narrow powder",
  (x) => logNormal.cdf({ medianUm: 3, gsd: 1.6 }, x) + 0.004 * Math.sin(2 * Math.log(x)),
);
const skewed = powder("a skewed powder", (x) =>
  rosinRammler.cdf({ characteristicUm: 6, spreadExponent: 1.4 }, x),
);
const twoHumped = powder(
  "a powder with two humps",
  (x) =>
    0.7 * logNormal.cdf({ medianUm: 2.5, gsd: 1.5 }, x) + 0.3 * logNormal.cdf({ medianUm: 14, gsd: 1.4 }, x),
);

/** Invented powders, the same each time: one near a log-normal, one with a fine tail, one that no family fits. */
export const powders: readonly NamedMeasurement[] = [narrow, skewed, twoHumped];

/** Pairs whose curves cross. */
export const crossed: readonly (readonly [NamedMeasurement, NamedMeasurement])[] = [
  [narrow, skewed],
  [narrow, twoHumped],
  [skewed, twoHumped],
];
