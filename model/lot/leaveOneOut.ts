import { mean } from "simple-statistics";
import { itemAt, minOf, zip } from "#distributions/lists.ts";
import type { Interval } from "#model/numbers/interval.ts";
import { tQuantile } from "#model/numbers/studentT.ts";
import { minRuns } from "./intervals.ts";

/** A number that rests on the runs of one or more powders, and how sure it is. */
export interface Estimate {
  /** Null where it is not known. */
  readonly value: number | null;
  /** Null where a powder has fewer than three runs, or the value is not known. */
  readonly interval: Interval | null;
}

/** Several numbers that rest on the same runs, and how they err together. */
export interface JointEstimate {
  readonly values: readonly (number | null)[];
  /** Of the values' errors, a row and a column a value; null where a powder has fewer than three runs. */
  readonly covariance: readonly (readonly number[])[] | null;
  /** Degrees of freedom of each value's standard error. */
  readonly degrees: readonly number[];
}

/**
 * How sure numbers are that rest on several powders together, from leaving each run of each powder out in turn.
 * For a mean it is exactly Student's t, for a difference of two means Welch's.
 *
 * @param powders  the runs of each powder
 * @param numbers  the numbers, from powders of any number of runs of one or more; always as many of them
 * Source: jackknife (Tukey 1958; Efron 1982, from memory) over independent samples; degrees of freedom after
 * Welch (1947) and Satterthwaite (JCGM 100, G.4).
 */
export function leaveOneOut<Run>(
  powders: readonly (readonly Run[])[],
  numbers: (powders: readonly (readonly Run[])[]) => readonly (number | null)[],
): JointEstimate {
  const values = numbers(powders);
  if (powders.some((runs) => runs.length < minRuns))
    return { values, covariance: null, degrees: values.map(() => 0) };
  const parts = powders.map((runs, which) => {
    const without = runs.map((_, out) =>
      numbers(powders.map((own, i) => (i === which ? own.filter((__, j) => j !== out) : own))),
    );
    const n = runs.length;
    const away = values.map((_, k) => {
      const known = without.map((each) => unknownIsNaN(itemAt(each, k)));
      const middle = mean(known);
      return known.map((v) => v - middle);
    });
    return { degrees: n - 1, covariance: away.map((a) => away.map((b) => ((n - 1) / n) * dot(a, b))) };
  });
  const summed = (of: (part: (typeof parts)[number]) => number) =>
    parts.reduce((sum, part) => sum + of(part), 0);
  const partAt = (part: (typeof parts)[number], a: number, b: number) =>
    itemAt(itemAt(part.covariance, a), b);
  const covariance = values.map((_, a) => values.map((__, b) => summed((part) => partAt(part, a, b))));
  const fewest = minOf(powders.map((runs) => runs.length - 1));
  const degrees = values.map((_, a) => {
    const square = summed((part) => partAt(part, a, a) ** 2 / part.degrees);
    return square > 0 ? itemAt(itemAt(covariance, a), a) ** 2 / square : fewest;
  });
  return { values, covariance, degrees };
}

/** A number that is lost when a run is left out has no spread that could be told: it spoils the sums it enters. */
function unknownIsNaN(value: number | null): number {
  return value === null ? Number.NaN : value;
}

/** Each number by itself with its Student-t interval. */
export function estimatesOf(joint: JointEstimate, level: number): readonly Estimate[] {
  return joint.values.map((value, i): Estimate => {
    const variance = joint.covariance?.[i]?.[i];
    if (value === null || variance === undefined || !Number.isFinite(variance))
      return { value, interval: null };
    const reach = tQuantile(0.5 + level / 2, itemAt(joint.degrees, i)) * Math.sqrt(variance);
    return { value, interval: { low: value - reach, high: value + reach, level } };
  });
}

/** The same on another scale, by a rising function. */
export function scaled({ value, interval }: Estimate, rising: (v: number) => number): Estimate {
  return {
    value: value === null ? null : rising(value),
    interval:
      interval === null
        ? null
        : { low: rising(interval.low), high: rising(interval.high), level: interval.level },
  };
}

/** An interval narrower than this part of its ends has no width but what rounding gave it. */
const noWidth = 1e-9;

/** Whether leaving any run out changes nothing: the runs are one and the same as far as this value goes. */
export function isSameInAllRuns({ interval }: Estimate): boolean {
  if (interval === null) return false;
  const { low, high } = interval;
  return high - low <= noWidth * Math.max(Math.abs(low), Math.abs(high));
}

/** Whether an interval leaves a value out; null where there is none. */
export function excludes({ interval }: Estimate, value: number): boolean | null {
  return interval === null ? null : value < interval.low || value > interval.high;
}

function dot(a: readonly number[], b: readonly number[]): number {
  return zip(a, b).reduce((sum, [v, w]) => sum + v * w, 0);
}
