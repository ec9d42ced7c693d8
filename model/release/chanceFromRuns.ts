import { itemAt } from "#distributions/lists.ts";
import { chanceWithin } from "#model/lot/intervals.ts";
import { choleskyOfCovariance } from "#model/numbers/cholesky.ts";
import type { Limits } from "#model/numbers/jointChance.ts";
import { drawsOf } from "./draws.ts";
import { sharesWithin } from "./kernels/within.ts";
import type { LotMean, Matrix } from "./scatter.ts";

/** How likely a lot conforms: row by row, and in all rows at once. */
export interface Conformance {
  readonly rows: readonly number[];
  readonly all: number;
  /** Whether the figure for all rows is a lower bound and no more. */
  readonly isAtLeast: boolean;
}

/** With fewer degrees of freedom how the rows err together is not known well enough for a figure. */
export const minDegrees = 10;

/** Draws of Student's t by the number of rows and the degrees of freedom, so that many lots can share them. */
export type DrawsFor = (rows: number, degrees: number) => Float64Array;

/** Beyond this many, Student's t is the normal curve to all digits that are shown. */
const asNormal = 1e4;

export const freshDraws: DrawsFor = (rows, degrees) => drawsOf(rows, degrees > asNormal ? null : degrees);

/** The same, drawn once for as many lots as ask. */
export function sharedDraws(): DrawsFor {
  const drawn = new Map<string, Float64Array>();
  return (rows, degrees) => {
    const key = `${rows} ${degrees}`;
    const draws = drawn.get(key) ?? freshDraws(rows, degrees);
    drawn.set(key, draws);
    return draws;
  };
}

/**
 * From the runs, their scatter pooled over lots where there are others: the multivariate t of the lot's mean under a flat prior. Below ten degrees of freedom the rows
 * stand by themselves and all of them have the bound 1 − Σ(1 − p).
 *
 * Calibrated for lots spread flat over their limits: of the lots that p is said of, p conform (docs/validation.md).
 * Source: JCGM 106; Box and Tiao (1973), multivariate t from a pooled covariance (from memory); docs/science.md.
 */
export function chanceFromRuns(
  lot: LotMean,
  limits: readonly Limits[],
  drawsFor: DrawsFor = freshDraws,
): Conformance {
  if (lot.degrees < minDegrees) return boundOf(lot, limits);
  return conformance(lot.mean, lot.covariance, limits, drawsFor(limits.length, lot.degrees));
}

/** Rows and all rows from the same draws, so that all is never above a row. */
export function conformance(
  mean: readonly number[],
  covariance: Matrix,
  limits: readonly Limits[],
  draws: Float64Array,
): Conformance {
  const shares = sharesWithin(mean, choleskyOfCovariance(covariance), draws, endsOf(limits));
  return { rows: shares.slice(0, -1), all: itemAt(shares, -1), isAtLeast: false };
}

/** Limits as numbers, without end where there is none. */
export function endsOf(limits: readonly Limits[]): { low: number[]; high: number[] } {
  return {
    low: limits.map((l) => l.low ?? Number.NEGATIVE_INFINITY),
    high: limits.map((l) => l.high ?? Number.POSITIVE_INFINITY),
  };
}

function boundOf({ mean, covariance, degrees }: LotMean, limits: readonly Limits[]): Conformance {
  const rows = limits.map(({ low, high }, i) => {
    const standardError = Math.sqrt(itemAt(itemAt(covariance, i), i));
    return chanceWithin({ mean: itemAt(mean, i), standardError, degrees }, low, high);
  });
  const all = Math.max(0, 1 - rows.reduce((sum, p) => sum + 1 - p, 0));
  return { rows, all, isAtLeast: rows.length > 1 };
}
