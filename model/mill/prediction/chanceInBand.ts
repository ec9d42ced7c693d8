import { normalDeviate } from "#distributions/families/normalDeviate.ts";
import { normalForm } from "#distributions/families/normalForm.ts";
import type { Prediction } from "#model/mill/trials/posterior.ts";
import { deviatesFrom } from "#model/numbers/kernels/deviates.ts";
import { chanceWith, middleOf, readFrom } from "#model/numbers/kernels/normalMixture.ts";
import type { JudgedRow, RowsQuestion } from "./judgedRows.ts";
import { inBandSum, type SumTools } from "./kernels/inBandSums.ts";
import type { PredictedProduct } from "./predictedProduct.ts";

/**
 * The chance that one further run lies inside every judged row at once: over ln D50, the chance of each width given it.
 * Source: docs/science.md (P(in band | n, Q)). Accuracy: 5e-5, against sums over fine grids of D10, D50 and D90
 * at once and of shares near the median; 8-point Gauss–Legendre on each stretch.
 */
export function chanceInBand(product: PredictedProduct, judged: RowsQuestion): number {
  const { middle, reach } = extentOf(product.d50);
  const from = Math.max(judged.d50?.low ?? Number.NEGATIVE_INFINITY, middle - reach);
  const to = Math.min(judged.d50?.high ?? Number.POSITIVE_INFINITY, middle + reach);
  if (!(to > from)) return 0;
  if (judged.fine.length === 0 && judged.coarse.length === 0) return chanceWithin(product.d50, from, to);
  // The middle, where the run most likely lies, in four stretches, the tails in one each, and an end where a row turns.
  const core = 2.5 * (reach / reachInSds);
  const inner = [-1, -0.5, 0, 0.5, 1].map((part) => middle + part * core);
  const turns = [
    ...turnsOf(product.fine, judged.fine, reach),
    ...turnsOf(product.coarse, judged.coarse, reach),
  ];
  const ends = [from, ...inner, ...turns, to]
    .map((end) => Math.min(Math.max(end, from), to))
    .sort((a, b) => a - b);
  const { d50, coarse, fine, widthsCorrelation: correlation = 0 } = product;
  const sum = inBandSum(
    {
      d50,
      coarse: { width: coarse, asked: judged.coarse },
      fine: { width: fine, asked: judged.fine },
      correlation,
    },
    ends,
    sumTools,
  );
  return Math.min(Math.max(sum, 0), 1);
}

/**
 * Ends of stretches where a row turns from met to not met faster than ln D50 itself scatters: one near the median hangs on
 * the width so little that a stretch would step across its turn.
 */
function turnsOf(width: Prediction | null, asked: readonly JudgedRow[], reach: number): readonly number[] {
  if (width === null) return [];
  const { middle, reach: widthReach } = extentOf(width);
  const sd = widthReach / reachInSds;
  return asked.flatMap(({ turnsAt }) => {
    const [low = 0] = turnsAt(middle - sd);
    const [high = 0] = turnsAt(middle + sd);
    const isSlow = Math.abs(high - low) / 2 > slowTurn * (reach / reachInSds);
    return isSlow ? [] : turnEnds.flatMap((sds) => turnsAt(middle + sds * sd));
  });
}

/** Above this part of the scatter of ln D50 the stretches of ln D50 alone follow a turn. */
const slowTurn = 0.3;
const turnEnds = [-3, 0, 3];

function chanceWithin(p: Prediction, low: number, high: number): number {
  return Math.max(0, chanceUnder(p, high) - chanceUnder(p, low));
}

function chanceUnder(p: Prediction, y: number): number {
  return y === Number.POSITIVE_INFINITY
    ? 1
    : y === Number.NEGATIVE_INFINITY
      ? 0
      : chanceWith(p, y, tabledCdf);
}

/** Φ at every 1/500 from −8 to 8, straight between: within 2e-7, and many times faster than the function. */
const steps = 500;
const reachOfTable = 8;
const tabled = Float64Array.from({ length: 2 * reachOfTable * steps + 1 }, (_, i) =>
  normalForm.undersize(i / steps - reachOfTable),
);
const tabledCdf = readFrom(tabled, -reachOfTable, steps);

const reachInSds = 8;

/** Middle of a mixture, and a stretch either side beyond which next to nothing lies. */
function extentOf(mixture: Prediction): { middle: number; reach: number } {
  const { mean, sd } = middleOf(mixture);
  return { middle: mean, reach: reachInSds * sd };
}

/** A rule of the places above 0 and their weights, which holds for those below likewise. */
function bothHalves(half: readonly (readonly [number, number])[]) {
  return { places: half.flatMap(([place]) => [-place, place]), weights: half.flatMap(([, w]) => [w, w]) };
}

/** What the sums are taken with. Gauss–Legendre on −1 … 1: Abramowitz and Stegun, table 25.4, from memory. */
const sumTools: SumTools = {
  cdf: tabled,
  reach: reachOfTable,
  steps,
  deviate: deviatesFrom(normalDeviate),
  falling: Float64Array.from({ length: 28 * 32 }, (_, i) => Math.exp(-i / 32)),
  negligible: 1e-8,
  sure: 1e-6,
  stretch: bothHalves([
    [0.1834346424956498, 0.362683783378362],
    [0.525532409916329, 0.3137066458778873],
    [0.7966664774136267, 0.2223810344533745],
    [0.9602898564975363, 0.1012285362903763],
  ]),
  alongCorrelation: bothHalves([
    [0.2386191860831969, 0.467913934572691],
    [0.6612093864662645, 0.3607615730481386],
    [0.9324695142031521, 0.1713244923791704],
  ]),
};
