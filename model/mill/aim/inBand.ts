import type { BandRow } from "#model/band/band.ts";
import { normalCdf } from "#model/runs/normal.ts";
import type { Prediction } from "../trials/posterior.ts";
import type { Product } from "./product.ts";

/** Limits of one percentile, ln µm; an open side is infinite. */
interface Limits {
  readonly low: number;
  readonly high: number;
}

/** The rows of a band that the trials' law speaks of, and the names of those it does not. */
export interface JudgedRows {
  readonly d10: Limits | null;
  readonly d50: Limits | null;
  readonly d90: Limits | null;
  readonly notJudged: readonly string[];
}

/** @param product  which percentiles are predicted at all */
export function judgedRows(
  rows: readonly BandRow[],
  product: { readonly coarse: unknown; readonly fine: unknown },
): JudgedRows {
  const of = (limit: string, isKnown: boolean): Limits | null => {
    const row = rows.find((r) => r.limit === limit);
    if (row === undefined || !isKnown) return null;
    return {
      low: row.low === null ? Number.NEGATIVE_INFINITY : Math.log(row.low),
      high: row.high === null ? Number.POSITIVE_INFINITY : Math.log(row.high),
    };
  };
  const known = [
    ["d10Um", product.fine !== null],
    ["d50Um", true],
    ["d90Um", product.coarse !== null],
  ] as const;
  return {
    d10: of(...known[0]),
    d50: of(...known[1]),
    d90: of(...known[2]),
    notJudged: rows
      .filter((r) => !known.some(([limit, isKnown]) => isKnown && limit === r.limit))
      .map((r) => r.limit),
  };
}

/** Whether any row is left to judge. */
export function isJudged({ d10, d50, d90 }: JudgedRows): boolean {
  return d10 !== null || d50 !== null || d90 !== null;
}

/**
 * The chance that one further run lies inside every judged row at once: over ln D50, the chance of each width given it.
 * Source: docs/science.md (P(in band | n, Q)). Accuracy: 16-point Gauss–Legendre on each half, 1e-6 where the mixtures are smooth.
 */
export function chanceInBand(product: Product, judged: JudgedRows): number {
  const { middle, reach } = extentOf(product.d50);
  const from = Math.max(judged.d50?.low ?? Number.NEGATIVE_INFINITY, middle - reach);
  const to = Math.min(judged.d50?.high ?? Number.POSITIVE_INFINITY, middle + reach);
  if (!(to > from)) return 0;
  const { d10, d90 } = judged;
  const coarse = product.coarse;
  const fine = product.fine;
  if ((d10 === null || fine === null) && (d90 === null || coarse === null))
    return chanceWithin(product.d50, from, to);
  let sum = 0;
  const half = (to - from) / 4;
  for (const centre of [from + half, to - half]) {
    for (const [t, w] of nodes) {
      const y = centre + half * t;
      const density = densityAt(product.d50, y);
      if (density * half < 1e-9) continue;
      const ofCoarse = d90 === null || coarse === null ? 1 : chanceWithin(coarse, d90.low - y, d90.high - y);
      const ofFine = d10 === null || fine === null ? 1 : chanceWithin(fine, y - d10.high, y - d10.low);
      sum += half * w * density * ofCoarse * ofFine;
    }
  }
  return Math.min(Math.max(sum, 0), 1);
}

function chanceWithin(p: Prediction, low: number, high: number): number {
  const below = (y: number) =>
    y === Number.POSITIVE_INFINITY ? 1 : y === Number.NEGATIVE_INFINITY ? 0 : chanceBelow(p, y);
  return Math.max(0, below(high) - below(low));
}

/** Φ at every 1/500 from −8 to 8, straight between: within 2e-7, and many times faster than the function. */
const steps = 500;
const reachOfTable = 8;
const table = Float64Array.from({ length: 2 * reachOfTable * steps + 2 }, (_, i) =>
  normalCdf(i / steps - reachOfTable),
);

function chanceBelow({ weights, means, sds }: Prediction, y: number): number {
  let sum = 0;
  for (let k = 0; k < weights.length; k++) {
    const at = ((y - (means[k] ?? 0)) / (sds[k] ?? 1) + reachOfTable) * steps;
    if (at <= 0) continue;
    const i = Math.floor(at);
    const low = table[i];
    sum += (weights[k] ?? 0) * (low === undefined ? 1 : low + ((table[i + 1] ?? 1) - low) * (at - i));
  }
  return sum;
}

/** Middle of a mixture, and a stretch either side beyond which next to nothing lies. */
function extentOf({ weights, means, sds }: Prediction): { middle: number; reach: number } {
  const middle = weights.reduce((sum, w, k) => sum + w * (means[k] ?? 0), 0);
  const typical = weights.reduce((sum, w, k) => sum + w * (sds[k] ?? 0), 0);
  return { middle, reach: 8 * typical };
}

function densityAt({ weights, means, sds }: Prediction, y: number): number {
  let sum = 0;
  for (let k = 0; k < weights.length; k++) {
    const sd = sds[k] ?? 1;
    const z = (y - (means[k] ?? 0)) / sd;
    if (z * z < 80) sum += ((weights[k] ?? 0) * Math.exp(-0.5 * z * z)) / sd;
  }
  return sum / Math.sqrt(2 * Math.PI);
}

/** Abscissae and weights of 16-point Gauss–Legendre on −1 … 1 (Abramowitz and Stegun, table 25.4, from memory). */
const nodes: readonly (readonly [number, number])[] = [
  [0.0950125098376374, 0.1894506104550685],
  [0.2816035507792589, 0.1826034150449236],
  [0.4580167776572274, 0.1691565193950025],
  [0.6178762444026438, 0.1495959888165767],
  [0.755404408355003, 0.1246289712555339],
  [0.8656312023878318, 0.0951585116824928],
  [0.9445750230732326, 0.0622535239386479],
  [0.9894009349916499, 0.0271524594117541],
].flatMap(([t = 0, w = 0]) => [[-t, w] as const, [t, w] as const]);
