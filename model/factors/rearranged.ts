import { mean as meanOf } from "simple-statistics";
import { itemAt } from "#distributions/lists.ts";
import { type RandomNumbers, randomNumbers } from "#model/numbers/randomNumbers.ts";
import { correlationWithNext, farthestMean, withoutStep } from "./kernels/serial.ts";

/** What the same lots would show if their order said nothing. */
export interface Rearranged {
  /** Of so many orders only `tail` lead the weighted mean farther from the middle, in its own SDs. */
  readonly meanLimit: number;
  /** Of each lot with the one before, a single step taken off; what lots in any order show is taken off as well. */
  readonly serialCorrelation: number;
  /** Whether at most 5 % of orders show as much. Then the limit allows for it. */
  readonly isCorrelated: boolean;
}

/** How the weighted mean is taken. */
export interface Smoothing {
  readonly weight: number;
  readonly meanSds: Float64Array;
  readonly toSigma: number;
}

const manyOrders = 399;
/** Lots hang together where at most so many orders show as much. */
export const rareOrder = 0.05;
/** Lots before the first whose departures still stand in it. */
const leadIn = 15;
const maxCorrelated = 0.9;
/** Fixed, so that the same lots always have the same limits. */
const seed = 20_261_130;

/**
 * Limits of the weighted mean from the lots' own values in other orders: whatever the shape of their scatter, of lots that
 * do not hang together a share `tail` passes them. Where lots hang together beyond a single step (which would look alike),
 * the limit is that of lots that hang together as much, made of their own residuals.
 *
 * Source: permutation tests (E. J. G. Pitman 1937) and resampled residuals of a first-order autoregression (B. Efron and
 * R. J. Tibshirani 1993, chapter 8), from memory; the step taken off first is ours; rates in docs/validation.md.
 */
export function rearranged(
  values: readonly number[],
  tail: number,
  smoothing: Smoothing,
  orders = manyOrders,
): Rearranged {
  const random = randomNumbers(seed + values.length);
  const own = Float64Array.from(values);
  const residuals = withoutStep(own);
  const seen = correlationWithNext(residuals);
  const others = Array.from({ length: orders }, () => {
    const order = shuffled(own, random);
    return {
      mean: farthestMean(order, smoothing),
      correlation: correlationWithNext(withoutStep(order)),
    };
  });
  const asCorrelated = others.filter(({ correlation }) => correlation >= seen).length;
  const isCorrelated = (asCorrelated + 1) / (orders + 1) <= rareOrder;
  const byChance = meanOf(others.map(({ correlation }) => correlation));
  // The step that is taken off takes part of the correlation with it, the more the fewer lots there are [judgement].
  const freed = (seen - byChance) * (1 + 3 / values.length);
  const serialCorrelation = Math.max(-maxCorrelated, Math.min(maxCorrelated, freed));
  const limit = limitOf(
    others.map(({ mean }) => mean),
    tail,
  );
  if (!isCorrelated) return { meanLimit: limit, serialCorrelation, isCorrelated };
  const steps = innovationsOf(residuals, serialCorrelation);
  const alike = Array.from({ length: orders }, () =>
    farthestMean(serialLots(steps, serialCorrelation, random), smoothing),
  );
  return { meanLimit: Math.max(limit, limitOf(alike, tail)), serialCorrelation, isCorrelated };
}

/** The value that at most a share `tail` of these and of the one that is judged lie beyond. */
function limitOf(found: readonly number[], tail: number): number {
  const sorted = found.toSorted((a, b) => a - b);
  const beyond = Math.floor(tail * (found.length + 1));
  return itemAt(sorted, Math.max(sorted.length - beyond, 0));
}

/** Source: R. A. Fisher and F. Yates 1938, in the form of R. Durstenfeld 1964. */
function shuffled(values: Float64Array, random: RandomNumbers): Float64Array {
  const order = values.slice();
  for (let i = order.length - 1; i > 0; i--) {
    const other = Math.floor((i + 1) * random.even());
    const kept = itemAt(order, i);
    order[i] = itemAt(order, other);
    order[other] = kept;
  }
  return order;
}

/** What each lot adds to the share of the one before that stays in it. */
function innovationsOf(residuals: Float64Array, correlation: number): readonly number[] {
  const added = [...residuals].slice(1).map((v, i) => v - correlation * itemAt(residuals, i));
  const middle = meanOf(added);
  return added.map((v) => v - middle);
}

function serialLots(steps: readonly number[], correlation: number, random: RandomNumbers): Float64Array {
  let last = 0;
  const drawn = Array.from({ length: steps.length + 1 + leadIn }, () => {
    last = correlation * last + itemAt(steps, Math.floor(steps.length * random.even()));
    return last;
  });
  return Float64Array.from(drawn.slice(leadIn));
}
