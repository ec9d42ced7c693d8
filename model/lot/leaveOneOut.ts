import { mean } from "simple-statistics";
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
  const count = values.length;
  const covariance = Array.from({ length: count }, () => new Array<number>(count).fill(0));
  const squares = new Array<number>(count).fill(0);
  for (const [which, runs] of powders.entries()) {
    const without = runs.map((_, out) =>
      numbers(powders.map((own, i) => (i === which ? own.filter((__, j) => j !== out) : own))),
    );
    const n = runs.length;
    const away = values.map((_, k) => {
      const known = without.map((each) => each[k] ?? Number.NaN);
      const middle = mean(known);
      return known.map((v) => v - middle);
    });
    for (let a = 0; a < count; a++) {
      for (let b = 0; b < count; b++) {
        const part = ((n - 1) / n) * dot(away[a] ?? [], away[b] ?? []);
        const row = covariance[a];
        if (row !== undefined) row[b] = (row[b] ?? 0) + part;
        if (a === b) squares[a] = (squares[a] ?? 0) + part ** 2 / (n - 1);
      }
    }
  }
  const fewest = Math.min(...powders.map((runs) => runs.length - 1));
  const degrees = squares.map((square, a) => {
    const variance = covariance[a]?.[a] ?? 0;
    return square > 0 ? variance ** 2 / square : fewest;
  });
  return { values, covariance, degrees };
}

/** Each number by itself with its Student-t interval. */
export function estimatesOf(joint: JointEstimate, level: number): readonly Estimate[] {
  return joint.values.map((value, i): Estimate => {
    const variance = joint.covariance?.[i]?.[i];
    if (value === null || variance === undefined || !Number.isFinite(variance))
      return { value, interval: null };
    const reach = tQuantile(0.5 + level / 2, joint.degrees[i] ?? 1) * Math.sqrt(variance);
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
  return a.reduce((sum, v, i) => sum + v * (b[i] ?? 0), 0);
}
