import { itemAt } from "#distributions/lists.ts";
import { crossProducts, diagonal, meanOf, weighted } from "./kernels/within.ts";

/** A row and a column a judged row. */
export type Matrix = readonly (readonly number[])[];

/** The runs of one portion: of each run a value a judged row, on the row's scale. Copies are no runs. */
export type PortionRuns = readonly (readonly number[])[];

/** A lot's portions, each taken from the lot by itself and measured in one run or more. */
export type LotPortions = readonly PortionRuns[];

/** How runs of one portion, and portions of one lot, scatter on a ground. */
export interface PooledScatter {
  /** Of a run about its portion, pooled over all portions; its degrees of freedom are Σ (runs − 1). */
  readonly run: Matrix;
  readonly runDegrees: number;
  /** Of a portion's mean about its lot; null where no lot has two portions and no sampling SD was entered. */
  readonly portion: PortionScatter | null;
}

type PortionScatter =
  /** Of the mean of a portion of so many runs (harmonic mean), the runs' own scatter included. */
  | {
      readonly from: "portions";
      readonly ofMean: Matrix;
      readonly runs: number;
      readonly degrees: number;
    }
  /** Of a portion about its lot, as the person entered it: without end of degrees. */
  | { readonly from: "entered"; readonly covariance: Matrix };

/** How surely the mean of a lot is known, and of what it is the mean. */
export interface LotMean {
  readonly mean: readonly number[];
  readonly covariance: Matrix;
  readonly degrees: number;
  readonly of: "portion measured" | "lot";
}

/**
 * The scatter of a ground from the runs of its lots, this lot among them.
 *
 * @param samplingSd  of a portion about its lot, a row's scale; null where none was entered
 * @returns           null where no portion has two runs
 * Source: ISO 5725-2 (variances pooled within and between, nested); docs/science.md.
 */
export function pooledScatter(
  lots: readonly LotPortions[],
  samplingSd: readonly number[] | null = null,
): PooledScatter | null {
  const portions = lots.flat().filter((runs) => runs.length > 0);
  const runDegrees = portions.reduce((sum, runs) => sum + runs.length - 1, 0);
  if (runDegrees === 0) return null;
  const run = weighted(portions.map((runs) => [1 / runDegrees, crossProducts(runs)]));
  if (samplingSd !== null) {
    const covariance = diagonal(samplingSd.map((sd) => sd ** 2));
    return { run, runDegrees, portion: { from: "entered", covariance } };
  }
  const several = lots.filter((lot) => lot.length > 1);
  const degrees = several.reduce((sum, lot) => sum + lot.length - 1, 0);
  if (degrees === 0) return { run, runDegrees, portion: null };
  const ofMean = weighted(several.map((lot) => [1 / degrees, crossProducts(lot.map(meanOf))]));
  const each = several.flat();
  const runs = each.length / each.reduce((sum, own) => sum + 1 / own.length, 0);
  return { run, runDegrees, portion: { from: "portions", ofMean, runs, degrees } };
}

/**
 * A lot's mean over its portions and how it errs.
 * Portions of fewer runs than those that taught the scatter add the runs they lack; those of more are given no better.
 *
 * @param lot  portions of at least one run each
 */
export function lotMean(lot: LotPortions, { run, runDegrees, portion }: PooledScatter): LotMean {
  const mean = meanOf(lot.map(meanOf));
  const many = lot.length;
  const oneOverRuns = lot.reduce((sum, runs) => sum + 1 / runs.length, 0) / many;
  const ofRuns = weighted([[oneOverRuns / many, run]]);
  if (portion === null)
    return { mean, covariance: ofRuns, degrees: runDegrees, of: many > 1 ? "lot" : "portion measured" };
  if (portion.from === "entered") {
    const covariance = weighted([
      [1, ofRuns],
      [1 / many, portion.covariance],
    ]);
    return { mean, covariance, degrees: leastDegrees(covariance, ofRuns, runDegrees), of: "lot" };
  }
  const lacking = Math.max(0, oneOverRuns - 1 / portion.runs);
  const covariance = weighted([
    [1 / many, portion.ofMean],
    [lacking / many, run],
  ]);
  return { mean, covariance, degrees: portion.degrees, of: "lot" };
}

/** The row with the fewest degrees, where a part of the variance is known without end. Source: JCGM 100, G.4. */
function leastDegrees(whole: Matrix, part: Matrix, degrees: number): number {
  return Math.min(
    ...whole.map((row, i) => {
      const own = itemAt(itemAt(part, i), i);
      return own > 0 ? degrees * (itemAt(row, i) / own) ** 2 : Number.POSITIVE_INFINITY;
    }),
  );
}
