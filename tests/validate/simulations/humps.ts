import { curveOf } from "#distributions/curve.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { type NamedMeasurement, sizeDistribution } from "#distributions/sizeDistribution.ts";
import { humpsOf } from "#model/lot/humps.ts";
import { type Chance, chanceFrom } from "./chance.ts";

/** How often a second hump was claimed of a powder of one kind. */
export interface HumpCase {
  readonly powder: string;
  readonly hasTwo: boolean;
  readonly lots: number;
  readonly claimed: number;
}

const seed = 19_281_015;
export const lotsPerHumpCase = 200;
const runs = 3;

interface HumpPowder {
  readonly powder: string;
  readonly hasTwo: boolean;
  readonly undersize: (x: number, shift: number) => number;
}

const pair =
  (weight: number, low: number, lowGsd: number, high: number, highGsd: number) =>
  (x: number, shift: number) =>
    weight * logNormal.cdf({ medianUm: low * shift, gsd: lowGsd }, x) +
    (1 - weight) * logNormal.cdf({ medianUm: high * shift, gsd: highGsd }, x);

const kinds: readonly HumpPowder[] = [
  {
    powder: "log-normal, GSD 1.6",
    hasTwo: false,
    undersize: (x, shift) => logNormal.cdf({ medianUm: 3 * shift, gsd: 1.6 }, x),
  },
  {
    powder: "Rosin–Rammler, n = 1.5",
    hasTwo: false,
    undersize: (x, shift) => rosinRammler.cdf({ characteristicUm: 6 * shift, spreadExponent: 1.5 }, x),
  },
  { powder: "one hump with a shoulder", hasTwo: false, undersize: pair(0.3, 2, 1.6, 4, 1.6) },
  { powder: "agglomerates, 25 % at 12 µm", hasTwo: true, undersize: pair(0.75, 2.5, 1.45, 12, 1.4) },
  { powder: "fines, 12 % at 0.5 µm", hasTwo: true, undersize: pair(0.12, 0.5, 1.4, 3.2, 1.5) },
];

const edges = Array.from({ length: 61 }, (_, i) => 0.08 * 1500 ** (i / 60));

/** Simulated lots of three runs with noise that hangs together from class to class, as an instrument's inversion leaves it. */
export function humpCases(lots = lotsPerHumpCase): HumpCase[] {
  return kinds.map((kind, i) => {
    const chance = chanceFrom(seed + i);
    let claimed = 0;
    for (let lot = 0; lot < lots; lot++) {
      const measurements = Array.from({ length: runs }, (_, k) => noisy(kind, chance, `run ${k + 1}`));
      const humps = humpsOf(measurements.map((one) => curveOf(one.distribution)));
      if (humps?.verdict === "second hump") claimed++;
    }
    return { powder: kind.powder, hasTwo: kind.hasTwo, lots, claimed };
  });
}

/** Sizes shift by 1 %, and each class by 4 % of its share, averaged over seven neighbours. */
function noisy(kind: HumpPowder, chance: Chance, name: string): NamedMeasurement {
  const shift = Math.exp(0.01 * chance.normal());
  const rough = edges.map(() => chance.normal());
  const smooth = edges.map((_, i) => {
    const near = rough.slice(Math.max(0, i - 3), i + 4);
    return near.reduce((a, b) => a + b, 0) / Math.sqrt(near.length);
  });
  const shares = edges.slice(1).map((x, i) => {
    const share = kind.undersize(x, shift) - kind.undersize(edges[i] ?? x, shift);
    return Math.max(0, share * (1 + 0.04 * (smooth[i] ?? 0)));
  });
  const sum = shares.reduce((a, b) => a + b, 0);
  return {
    file: null,
    name,
    distribution: sizeDistribution({
      quantity: "volume",
      lowerUm: edges.slice(0, -1),
      upperUm: edges.slice(1),
      shares: shares.map((v) => v / sum),
    }),
  };
}
