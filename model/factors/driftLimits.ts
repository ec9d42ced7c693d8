import { itemAt } from "#distributions/lists.ts";
import { widestGap } from "#model/numbers/apartValues.ts";
import { type RandomNumbers, randomNumbers } from "#model/numbers/randomNumbers.ts";
import { movingRangeFactor } from "./individuals.ts";
import { correlationWithNext, farthestMean, farthestSingle, withoutStep } from "./kernels/serial.ts";
import { rareOrder, rearranged, type Smoothing } from "./rearranged.ts";

/** With fewer lots the limits would be chance themselves [judgement]. */
export const minLotsForDrift = 8;

/** Weight of the newest lot in the mean. Source: common in EWMA charts (NIST/SEMATECH e-Handbook 6.3.2.4: 0.2 to 0.3). */
const weight = 0.2;
/** Of steady histories at most so many alarm: the mean of these, single values of what is left. */
export const falseAlarms = 0.05;
export const meanTail = 0.035;
/** Of steady histories that scatter normally so many have a single value beyond its limits. */
export const singleTail = 0.025;

const histories = 2000;
const historiesForShares = 1000;
/** So few lots in other orders have wider limits than histories drawn anew: then these are asked. */
const fewForOrders = 12;
const fewOrders = 199;
const correlation = 0.5;
/** Fixed, so that the same number of lots always has the same limits. */
const seed = 20_261_130;

/** How the mean of so many lots is taken. Source: NIST/SEMATECH e-Handbook 6.3.2.4 (the exact variance). */
export function smoothingOf(lots: number): Smoothing {
  const meanSds = Float64Array.from({ length: lots }, (_, i) =>
    Math.sqrt((weight / (2 - weight)) * (1 - (1 - weight) ** (2 * (i + 1)))),
  );
  return { weight, meanSds, toSigma: 1 / movingRangeFactor };
}

/** What only the number of lots decides. */
export interface DriftLimits {
  /** Of single values that scatter normally, in sigma. */
  readonly single: number;
  /** Of the gap at either end, in the steps beside it. */
  readonly gap: number;
  readonly stepSeen: number;
  /** Share of steady histories that alarm where half of each departure stays in the next. */
  readonly serialAlarms: number;
  /** Share of steady histories with tails as heavy as Student's t of four degrees that have a single value beyond its limits. */
  readonly heavyTailedBeyond: number;
}

/**
 * Limits of single values and what a chart of so many lots would show. Simulated, so whoever charts many results of as
 * many lots asks once.
 */
export function driftLimits(lots: number): DriftLimits {
  if (lots < minLotsForDrift)
    return {
      single: Number.POSITIVE_INFINITY,
      gap: Number.POSITIVE_INFINITY,
      stepSeen: 0,
      serialAlarms: 0,
      heavyTailedBeyond: 0,
    };
  const random = randomNumbers(seed + lots);
  const smoothing = smoothingOf(lots);
  const drawn = (history: () => Float64Array, count = histories) =>
    drawnHistories(count, history).map((each) => farthestOf(each, smoothing));
  const independent = (draw: () => number) => Float64Array.from({ length: lots }, draw);
  const normal = drawn(() => independent(random.normal));
  const heavy = drawn(() => independent(() => heavyTailed(random)));
  const [single, mean] = [beyondIn(normal, "single", singleTail), beyondIn(normal, "mean", meanTail)];
  const gap = beyondIn(heavy, "gap", falseAlarms - meanTail);
  const isApart = (each: Farthest) => each.gap > gap && each.single > single;
  const isAlarm = (each: Farthest) => each.mean > mean || isApart(each);
  const shown = beyondIn(normal, "correlation", rareOrder);
  const serials = drawn(() => serial(lots, random), historiesForShares);
  const unseen = serials.filter((each) => each.correlation <= shown);
  const stepped = drawnHistories(historiesForShares, () =>
    independent(random.normal).map((v, i) => v + (i >= lots / 2 ? 2 : 0)),
  );
  const isStepSeen = (values: Float64Array) => {
    const found = farthestOf(values, smoothing);
    return lots < fewForOrders ? isApart(found) || isBeyondOrders(values, smoothing) : isAlarm(found);
  };
  return {
    single,
    gap,
    stepSeen: stepped.filter(isStepSeen).length / historiesForShares,
    // Where the lots show it, the limits of the mean allow for it.
    serialAlarms:
      (unseen.filter(isAlarm).length + meanTail * (serials.length - unseen.length)) / historiesForShares,
    heavyTailedBeyond: heavy.filter((each) => each.single > single).length / histories,
  };
}

const drawnHistories = (count: number, history: () => Float64Array): Float64Array[] =>
  Array.from({ length: count }, history);

/** Whether the mean leaves the limits that the same lots in other orders set. */
const isBeyondOrders = (values: Float64Array, smoothing: Smoothing): boolean =>
  farthestMean(values, smoothing) > rearranged([...values], meanTail, smoothing, fewOrders).meanLimit;

interface Farthest {
  readonly mean: number;
  readonly single: number;
  readonly gap: number;
  readonly correlation: number;
}

function farthestOf(values: Float64Array, smoothing: Smoothing): Farthest {
  return {
    mean: farthestMean(values, smoothing),
    single: farthestSingle(values, smoothing.toSigma),
    gap: widestGap([...values]),
    correlation: correlationWithNext(withoutStep(values)),
  };
}

const beyondIn = (found: readonly Farthest[], by: keyof Farthest, tail: number): number =>
  itemAt(
    found.map((each) => each[by]).toSorted((a, b) => a - b),
    Math.floor((1 - tail) * histories),
  );

/** Student's t of four degrees. */
function heavyTailed({ normal }: RandomNumbers): number {
  return normal() / Math.sqrt((normal() ** 2 + normal() ** 2 + normal() ** 2 + normal() ** 2) / 4);
}

function serial(lots: number, random: RandomNumbers): Float64Array {
  let last = random.normal();
  return Float64Array.from({ length: lots }, () => {
    const own = last;
    last = correlation * last + Math.sqrt(1 - correlation ** 2) * random.normal();
    return own;
  });
}
