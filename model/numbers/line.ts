import { DomainError } from "#distributions/domainError.ts";
import { maxOf, zip } from "#distributions/lists.ts";
import type { Interval } from "./interval.ts";
import { dot } from "./kernels/vectors.ts";
import { tQuantile } from "./studentT.ts";

/** A straight line through points, y = intercept + slope · x, and how sure it is. */
export interface RegressionLine {
  readonly points: number;
  readonly slope: number;
  readonly intercept: number;
  readonly slopeError: number;
  readonly interceptError: number;
  readonly slopeInterval: Interval;
  /** √(Σ residuals² / (n − 2)). */
  readonly residualSd: number;
  readonly meanX: number;
  /** Σ (x − mean)². */
  readonly spreadX: number;
}

/** The mean of like values is off by the last bits, and no slope follows from those. */
const lastBits = 1e-14;

/**
 * Least squares of y on x, by centred sums.
 *
 * @returns null below three points or where all x are alike: then there is no slope, or nothing to judge it by
 * @throws  DomainError  lists of different length
 * Accuracy: 10 digits on Norris (NIST StRD, docs/validation.md). Source: textbook regression; JCGM 100 H.3.
 */
export function lineThrough(
  xs: readonly number[],
  ys: readonly number[],
  level: number,
): RegressionLine | null {
  if (xs.length !== ys.length) throw new DomainError("points", "must have as many y as x", ys.length);
  const n = xs.length;
  if (n < 3) return null;
  const meanX = sum(xs) / n;
  const meanY = sum(ys) / n;
  const dx = xs.map((x) => x - meanX);
  const dy = ys.map((y) => y - meanY);
  const spreadX = sum(dx.map((d) => d * d));
  if (!(spreadX > n * (lastBits * maxOf(xs.map(Math.abs))) ** 2)) return null;
  const slope = dot(dx, dy) / spreadX;
  const squares = sum(zip(dx, dy).map(([x, y]) => (y - slope * x) ** 2));
  const residualSd = Math.sqrt(squares / (n - 2));
  const slopeError = residualSd / Math.sqrt(spreadX);
  const reach = tQuantile(0.5 + level / 2, n - 2) * slopeError;
  return {
    points: n,
    slope,
    intercept: meanY - slope * meanX,
    slopeError,
    interceptError: residualSd * Math.sqrt(1 / n + meanX ** 2 / spreadX),
    slopeInterval: { low: slope - reach, high: slope + reach, level },
    residualSd,
    meanX,
    spreadX,
  };
}

/** The standard deviation with which one further point would lie about the line at x. Source: textbook prediction error. */
export function predictionSd(line: RegressionLine, x: number): number {
  return line.residualSd * Math.sqrt(1 + 1 / line.points + (x - line.meanX) ** 2 / line.spreadX);
}

function sum(values: readonly number[]): number {
  return values.reduce((a, b) => a + b, 0);
}
