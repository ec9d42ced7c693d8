import { type Curve, curveOf } from "#distributions/curve.ts";
import { logLogistic } from "#distributions/families/logLogistic.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { itemAt, neighbours } from "#distributions/lists.ts";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { dipOf } from "#model/lot/dip.ts";
import { lumpsOf } from "#model/lot/lumps.ts";
import { shoulderOf } from "#model/lot/shoulder.ts";
import { type Chance, chanceFrom } from "./chance.ts";

type Undersize = (sizeUm: number) => number;

interface Shape {
  readonly shape: string;
  readonly undersize: Undersize;
}

/** How often something was said of powders of one shape. */
export interface ShapeCase {
  readonly shape: string;
  readonly noise: string;
  readonly lots: number;
  readonly said: number;
}

/** Fixed before the first run. */
const seed = 16_180_339;
const runs = 3;

const normal =
  (medianUm: number, gsd: number): Undersize =>
  (x) =>
    logNormal.cdf({ medianUm, gsd }, x);
const rosin =
  (n: number): Undersize =>
  (x) =>
    rosinRammler.cdf({ characteristicUm: 5, spreadExponent: n }, x);
const mix =
  (weight: number, more: Undersize, main: Undersize): Undersize =>
  (x) =>
    weight * more(x) + (1 - weight) * main(x);
const cutOff =
  (of: Undersize, from: number, to: number): Undersize =>
  (x) =>
    Math.min(1, Math.max(0, (of(x) - of(from)) / (of(to) - of(from))));
/** Even in ln x over a stretch, its ends as steep as a log-normal of GSD 1.15. */
const flatTop: Undersize = (x) => {
  let sum = 0;
  for (let i = 0; i < 40; i++) sum += logNormal.cdf({ medianUm: 1.5 * 5 ** ((i + 0.5) / 40), gsd: 1.15 }, x);
  return sum / 40;
};

export const logConcaveShapes: readonly Shape[] = [
  { shape: "log-normal, GSD 1.3", undersize: normal(3, 1.3) },
  { shape: "log-normal, GSD 1.6", undersize: normal(3, 1.6) },
  { shape: "log-normal, GSD 2.2", undersize: normal(3, 2.2) },
  { shape: "Rosin–Rammler, n 1", undersize: rosin(1) },
  { shape: "Rosin–Rammler, n 1.8", undersize: rosin(1.8) },
  { shape: "log-logistic", undersize: (x) => logLogistic.cdf({ medianUm: 3, exponent: 4 }, x) },
  { shape: "log-normal, GSD 1.6, cut off below 2", undersize: cutOff(normal(3, 1.6), 2, 1e6) },
  { shape: "log-normal, GSD 1.6, cut off above 4", undersize: cutOff(normal(3, 1.6), 1e-6, 4) },
  { shape: "Rosin–Rammler, n 1.5, cut off above 6", undersize: cutOff(rosin(1.5), 1e-6, 6) },
  { shape: "a flat top from 1.5 to 7.5 µm", undersize: flatTop },
];

export const shoulderShapes: readonly Shape[] = [1.3, 1.6].flatMap((gsd) =>
  [
    [5, 0.1],
    [5, 0.05],
    [3, 0.1],
    [3, 0.05],
  ].map(
    ([times = 1, weight = 0]): Shape => ({
      shape: `${100 * weight} % at ×${times}, GSD ${gsd}`,
      undersize: mix(weight, normal(3 * times, gsd), normal(3, 1.6)),
    }),
  ),
);

const allShapes = [...logConcaveShapes, ...shoulderShapes];
export const lotsPerShape = 60;

const edges = Array.from({ length: 61 }, (_, i) => 0.08 * 1500 ** (i / 60));

/** Of an undersize curve: half of the variance a shift in size, the rest correlated over 0.25 in ln x, together so many points. */
export function noisyRuns(undersize: Undersize, points: number, count: number, chance: Chance): Curve[] {
  const plain = edges.map(undersize);
  const body = plain.map((q) => 4 * q * (1 - q));
  const shiftRms = rms(
    edges.map((x) => 100 * (undersize(x * 1.01) - undersize(x))),
    body,
  );
  return Array.from({ length: count }, () => {
    const shift = Math.exp(((0.01 * points * Math.SQRT1_2) / shiftRms) * chance.normal());
    const rough = smoothNoise(chance);
    const scale = (points * Math.SQRT1_2) / 100;
    const q = edges.map((x, i) => undersize(x * shift) + scale * itemAt(rough, i) * itemAt(body, i));
    const rising: number[] = [];
    for (const v of q) rising.push(Math.min(1, Math.max(v, rising.at(-1) ?? 0, 0)));
    const shares = neighbours(rising).map(([a, b]) => b - a);
    return curveOf(
      sizeDistribution({
        quantity: "volume",
        lowerUm: edges.slice(0, -1),
        upperUm: edges.slice(1),
        shares,
        belowShare: itemAt(rising, 0),
        aboveShare: Math.max(0, 1 - itemAt(rising, -1)),
      }),
    );
  });
}

/** Where the powder is: over the sizes weighted by 4 Q (1 − Q). */
function rms(values: readonly number[], body: readonly number[]): number {
  const total = body.reduce((a, b) => a + b, 0);
  return Math.sqrt(values.reduce((sum, v, i) => sum + v * v * itemAt(body, i), 0) / total);
}

/** Of variance 1 at each edge, correlated as exp(−(Δ/0.25)²/2) in ln x. */
function smoothNoise(chance: Chance): number[] {
  const step = Math.log(1500) / 60;
  const width = 0.25 / Math.SQRT2;
  const reach = Math.ceil((4 * width) / step);
  const weights = Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp(-((((i - reach) * step) / width) ** 2) / 2),
  );
  const norm = Math.sqrt(weights.reduce((sum, w) => sum + w * w, 0));
  const rough = Array.from({ length: edges.length + 2 * reach }, () => chance.normal());
  return edges.map((_, i) => weights.reduce((sum, w, j) => sum + w * itemAt(rough, i + j), 0) / norm);
}

export function shoulderCases(lots = lotsPerShape, points = 0.3, shapes = allShapes): ShapeCase[] {
  return shapes.map(({ shape, undersize }) => {
    const chance = chanceFrom(seed + allShapes.findIndex((s) => s.shape === shape));
    let said = 0;
    for (let lot = 0; lot < lots; lot++)
      if (shoulderOf(noisyRuns(undersize, points, runs, chance)) !== null) said++;
    return { shape, noise: `${points} points`, lots, said };
  });
}

const mains: readonly Shape[] = [
  { shape: "log-normal, GSD 1.3", undersize: normal(3, 1.3) },
  { shape: "log-normal, GSD 1.6", undersize: normal(3, 1.6) },
  { shape: "Rosin–Rammler, n 1.5", undersize: rosin(1.5) },
  { shape: "Rosin–Rammler, n 2.5", undersize: rosin(2.5) },
];

/** Mains alone and with lumps: 2 % at ten times, 1 % at fifteen times the median. */
export const lumpShapes: readonly (Shape & { readonly isThere: boolean })[] = [
  ...logConcaveShapes.map((s) => ({ ...s, isThere: false })),
  ...mains.flatMap(({ shape, undersize }) =>
    [
      [0.02, 10],
      [0.01, 15],
    ].map(([weight = 0, times = 1]) => ({
      shape: `${shape}, ${100 * weight} % at ×${times}`,
      undersize: mix(weight, normal((shape.startsWith("Rosin") ? 5 : 3) * times, 1.3), undersize),
      isThere: true,
    })),
  ),
];

export function lumpCases(lots = 500, points = 0.3): (ShapeCase & { readonly isThere: boolean })[] {
  return lumpShapes.map(({ shape, undersize, isThere }, i) => {
    const chance = chanceFrom(seed + 1000 + i);
    let said = 0;
    for (let lot = 0; lot < lots; lot++)
      if (lumpsOf(noisyRuns(undersize, points, runs, chance)) !== null) said++;
    return { shape, noise: `${points} points`, lots, said, isThere };
  });
}

/** Two humps with a dip, and none. */
export const dipShapes: readonly (Shape & { readonly isThere: boolean })[] = [
  ...logConcaveShapes.map((s) => ({ ...s, isThere: false })),
  {
    shape: "30 % at ×3, GSD 1.6 beside 1.6: no dip",
    undersize: mix(0.3, normal(9, 1.6), normal(3, 1.6)),
    isThere: false,
  },
  {
    shape: "25 % at ×5, GSD 1.4 beside 1.45",
    undersize: mix(0.25, normal(12, 1.4), normal(2.5, 1.45)),
    isThere: true,
  },
  {
    shape: "12 % at 1/6, GSD 1.4 beside 1.5",
    undersize: mix(0.12, normal(0.5, 1.4), normal(3.2, 1.5)),
    isThere: true,
  },
  {
    shape: "5 % at ×5, GSD 1.3 beside 1.6",
    undersize: mix(0.05, normal(15, 1.3), normal(3, 1.6)),
    isThere: true,
  },
];

export function dipCases(lots = 300, points = 0.3): (ShapeCase & { readonly isThere: boolean })[] {
  return dipShapes.map(({ shape, undersize, isThere }, i) => {
    const chance = chanceFrom(seed + 2000 + i);
    let said = 0;
    for (let lot = 0; lot < lots; lot++)
      if (dipOf(noisyRuns(undersize, points, runs, chance)) !== null) said++;
    return { shape, noise: `${points} points`, lots, said, isThere };
  });
}
