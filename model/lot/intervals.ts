import { mean, sampleStandardDeviation } from "simple-statistics";
import { DomainError } from "#distributions/domainError.ts";
import type { Interval } from "#model/numbers/interval.ts";
import { tCdf, tQuantile } from "#model/numbers/studentT.ts";

/** How sure the mean of several runs is: its standard error and what distribution its error follows. */
export interface MeanOfRuns {
  readonly runs: number;
  readonly mean: number;
  /** null where nothing is known of the spread: fewer than three runs and no agreed standard deviation. */
  readonly standardError: number | null;
  /** Degrees of freedom of Student's t; null for the normal curve of an agreed standard deviation. */
  readonly degrees: number | null;
}

/** Two runs know almost nothing of their spread: below three an agreed standard deviation is needed. */
export const minRuns = 3;

/**
 * The mean of runs and how sure it is. From three runs on the runs speak for themselves;
 * below that the agreed repeatability standard deviation serves, if there is one.
 *
 * @throws DomainError for no values
 */
export function meanOfRuns(values: readonly number[], repeatabilitySd: number | null = null): MeanOfRuns {
  if (values.length === 0) throw new DomainError("values", "must hold at least one run", 0);
  const runs = values.length;
  const sample = [...values];
  if (runs >= minRuns) {
    return {
      runs,
      mean: mean(sample),
      standardError: sampleStandardDeviation(sample) / Math.sqrt(runs),
      degrees: runs - 1,
    };
  }
  const standardError = repeatabilitySd === null ? null : repeatabilitySd / Math.sqrt(runs);
  return { runs, mean: mean(sample), standardError, degrees: null };
}

/** The two-sided interval of the true mean; null where the spread is not known. Source: Student's t (JCGM 100, annex G). */
export function intervalOfMean(of: MeanOfRuns, level: number): Interval | null {
  if (of.standardError === null) return null;
  const p = 0.5 + level / 2;
  const reach = of.standardError * tQuantile(p, of.degrees ?? Number.POSITIVE_INFINITY);
  return { low: of.mean - reach, high: of.mean + reach, level };
}

type Spread = Pick<MeanOfRuns, "mean" | "standardError" | "degrees">;

/**
 * The chance that the true mean lies between two limits, given the runs; null where their spread is not known.
 * Source: JCGM 106 (conformance probability), with Student's t from the runs' own spread.
 */
export function chanceWithin(
  of: Spread & { readonly standardError: number },
  low: number | null,
  high: number | null,
): number;
export function chanceWithin(of: Spread, low: number | null, high: number | null): number | null;
export function chanceWithin(
  { mean: middle, standardError, degrees }: Spread,
  low: number | null,
  high: number | null,
): number | null {
  if (standardError === null) return null;
  if (standardError === 0)
    return (low === null || middle >= low) && (high === null || middle <= high) ? 1 : 0;
  const below = (limit: number) =>
    tCdf((limit - middle) / standardError, degrees ?? Number.POSITIVE_INFINITY);
  return Math.max(0, (high === null ? 1 : below(high)) - (low === null ? 0 : below(low)));
}
