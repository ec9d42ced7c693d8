import { mean as meanOf } from "simple-statistics";
import { DomainError } from "#distributions/domainError.ts";
import { itemAt } from "#distributions/lists.ts";
import { type RandomNumbers, randomNumbers } from "#model/numbers/randomNumbers.ts";
import { movingRangeFactor } from "./individuals.ts";

/** Whether lots in the order they were made have moved, and how surely a move would have been seen. */
export interface Drift {
  readonly middle: number;
  /** Mean moving range over 1.128. */
  readonly sigma: number;
  /** Exponentially weighted mean after each lot. */
  readonly smoothed: readonly number[];
  /** Half-width of its limits after each lot. */
  readonly smoothedReach: readonly number[];
  /** Half-width of the limits of single values. */
  readonly singleReach: number;
  /** Lots at which one of the two left its limits. */
  readonly alarms: readonly {
    readonly at: number;
    readonly by: "mean" | "single value";
    readonly side: "high" | "low";
  }[];
  /** Of steady histories of as many lots so many alarm. */
  readonly falseAlarms: number;
  /** Share of histories with a step of two sigma half-way that alarm. */
  readonly stepSeen: number;
  /** Of each lot with the one before; large where lots hang together, and then alarms mean less. */
  readonly serialCorrelation: number;
  /** Whether that is more than chance makes of independent lots in 5 % of histories. */
  readonly isCorrelated: boolean;
}

/** With fewer lots the limits would be chance themselves [judgement]. */
export const minLotsForDrift = 8;

/** Weight of the newest lot in the mean. Source: common in EWMA charts (NIST/SEMATECH e-Handbook 6.3.2.4: 0.2 to 0.3). */
const weight = 0.2;
const histories = 2000;
const falseAlarms = 0.05;
/** Fixed, so that the same number of lots always has the same limits. */
const seed = 20_261_130;

/**
 * A chart of single values and one of their exponentially weighted mean, looked at together: the limits of both are
 * simulated for this many lots, whose own mean and moving range they are judged by, so that 5 % of steady histories alarm.
 *
 * @returns null below eight lots
 * @throws  DomainError  a value that is no number
 * Source: NIST/SEMATECH e-Handbook 6.3.2.2 and 6.3.2.4 (charts); limits by simulation, docs/validation.md.
 */
export function driftOf(
  values: readonly number[],
  limits: DriftLimits = driftLimits(values.length),
): Drift | null {
  const odd = values.find((v) => !Number.isFinite(v));
  if (odd !== undefined) throw new DomainError("value", "must be a number", odd);
  const lots = values.length;
  if (lots < minLotsForDrift) return null;
  const { middle, sigma, lots: each } = charted(values);
  if (!(sigma > 0)) return null;
  const sideOf = (value: number) => (value > middle ? ("high" as const) : ("low" as const));
  const alarms = each.flatMap(({ value, smoothed, single, mean }, at) => [
    ...(mean > limits.mean ? [{ at, by: "mean" as const, side: sideOf(smoothed) }] : []),
    ...(single > limits.single ? [{ at, by: "single value" as const, side: sideOf(value) }] : []),
  ]);
  const serialCorrelation = correlationWithNext(values, middle);
  return {
    middle,
    sigma,
    smoothed: each.map((lot) => lot.smoothed),
    smoothedReach: each.map((_, i) => limits.mean * sigma * meanSd(i)),
    singleReach: limits.single * sigma,
    alarms,
    falseAlarms,
    stepSeen: limits.stepSeen,
    serialCorrelation,
    isCorrelated: Math.abs(serialCorrelation + 1 / lots) > 1.96 / Math.sqrt(lots),
  };
}

/** Standard deviation of the weighted mean after lot i, in sigma. */
const meanSd = (i: number): number =>
  Math.sqrt((weight / (2 - weight)) * (1 - (1 - weight) ** (2 * (i + 1))));

/** The exponentially weighted mean after each value, from a start. Source: NIST/SEMATECH e-Handbook 6.3.2.4. */
export function weightedMeans(values: readonly number[], start: number, share: number): readonly number[] {
  let smoothed = start;
  return values.map((value) => {
    smoothed = share * value + (1 - share) * smoothed;
    return smoothed;
  });
}

/** A lot on both charts: its value and the weighted mean after it, each also as its distance from the middle in its own SDs. */
interface ChartedLot {
  readonly value: number;
  readonly smoothed: number;
  readonly single: number;
  readonly mean: number;
}

function charted(values: readonly number[]) {
  const middle = meanOf([...values]);
  const [first = middle] = values;
  let [before, ranges] = [first, 0];
  for (const value of values) {
    ranges += Math.abs(value - before);
    before = value;
  }
  const sigma = ranges / (values.length - 1) / movingRangeFactor;
  const means = weightedMeans(values, middle, weight);
  const lots = values.map((value, i): ChartedLot => {
    const smoothed = itemAt(means, i);
    const single = Math.abs(value - middle) / sigma;
    return { value, smoothed, single, mean: Math.abs(smoothed - middle) / (sigma * meanSd(i)) };
  });
  return { middle, sigma, lots };
}

/** Limits for so many lots, in the SDs of each chart. */
export interface DriftLimits {
  readonly mean: number;
  readonly single: number;
  readonly stepSeen: number;
}

/**
 * Both limits at one tail share of their own, chosen so that of steady histories 5 % pass one or the other.
 * Simulated, so whoever charts many results of as many lots asks once.
 */
export function driftLimits(lots: number): DriftLimits {
  if (lots < minLotsForDrift)
    return { mean: Number.POSITIVE_INFINITY, single: Number.POSITIVE_INFINITY, stepSeen: 0 };
  const random = randomNumbers(seed + lots);
  const steady = Array.from({ length: histories }, () => largest(historyOf(lots, 0, random)));
  const means = steady.map((each) => each.mean).toSorted((a, b) => a - b);
  const singles = steady.map((each) => each.single).toSorted((a, b) => a - b);
  const at = (sorted: readonly number[], tail: number) =>
    sorted[Math.min(Math.floor((1 - tail) * histories), histories - 1)] ?? Number.POSITIVE_INFINITY;
  const alarmsAt = (tail: number) => {
    const [mean, single] = [at(means, tail), at(singles, tail)];
    return steady.filter((each) => each.mean > mean || each.single > single).length / histories;
  };
  let [low, high] = [falseAlarms / 2, falseAlarms];
  for (let step = 0; step < 20; step++) {
    const mid = (low + high) / 2;
    if (alarmsAt(mid) > falseAlarms) high = mid;
    else low = mid;
  }
  const [mean, single] = [at(means, low), at(singles, low)];
  const stepped = Array.from({ length: histories }, () => largest(historyOf(lots, 2, random)));
  const stepSeen = stepped.filter((each) => each.mean > mean || each.single > single).length / histories;
  return { mean, single, stepSeen };
}

function historyOf(lots: number, step: number, random: RandomNumbers): readonly number[] {
  return Array.from({ length: lots }, (_, i) => random.normal() + (i >= lots / 2 ? step : 0));
}

function largest(values: readonly number[]): { readonly mean: number; readonly single: number } {
  const { lots } = charted(values);
  return {
    mean: Math.max(...lots.map((lot) => lot.mean)),
    single: Math.max(...lots.map((lot) => lot.single)),
  };
}

function correlationWithNext(values: readonly number[], middle: number): number {
  let [together, squares] = [0, 0];
  let before: number | null = null;
  for (const value of values) {
    if (before !== null) together += (value - middle) * (before - middle);
    squares += (value - middle) ** 2;
    before = value;
  }
  return squares > 0 ? together / squares : 0;
}
