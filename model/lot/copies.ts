import type { Curve } from "#distributions/curve.ts";
import { largestDistance, meanCurve } from "#distributions/curve.ts";

/** Runs that are no runs of their own. */
export interface Copies {
  /** Pairs of places, from 0, whose curves are the same to the last digit. */
  readonly identical: readonly (readonly [number, number])[];
  /** Places whose curve is the mean of all the others. */
  readonly meansOfOthers: readonly number[];
}

const lastDigits = 1e-9;
/** A mean written with the table's own digits lies this near to the mean of the others. */
const roundingShare = 1e-4;
/** … and at the same time this much nearer than the others lie to theirs. */
const nearness = 0.1;

/**
 * Identical runs and a run that is the mean of the others: both make a lot look more certain than it is.
 * @param runs  curves in the order of the runs
 */
export function copiesAmong(runs: readonly Curve[]): Copies {
  const identical = runs.flatMap((a, i) =>
    runs
      .slice(i + 1)
      .flatMap((b, k) => (largestDistance(a, b) <= lastDigits ? [[i, i + 1 + k] as const] : [])),
  );
  if (runs.length < 3) return { identical, meansOfOthers: [] };
  const gaps = runs.map((run, i) => largestDistance(run, meanCurve(runs.filter((_, j) => j !== i))));
  const meansOfOthers = gaps.flatMap((own, i) => {
    const typical = Math.min(...gaps.filter((_, j) => j !== i));
    return own <= roundingShare && own <= nearness * typical ? [i] : [];
  });
  return { identical, meansOfOthers };
}

/**
 * The places of the runs that count: of those that are the same the first, and none that is the mean of the others.
 * Everything that tells how sure a lot is goes by these.
 */
export function placesOfOwnRuns(runs: readonly Curve[]): number[] {
  const twins = new Set(copiesAmong(runs).identical.map(([, later]) => later));
  const first = runs.flatMap((run, place) => (twins.has(place) ? [] : [{ run, place }]));
  const means = new Set(copiesAmong(first.map(({ run }) => run)).meansOfOthers);
  return first.filter((_, i) => !means.has(i)).map(({ place }) => place);
}
