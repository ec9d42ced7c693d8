import type { Curve } from "#distributions/curve.ts";
import { largestDistance, meanCurve, sizeAt, undersizeAt } from "#distributions/curve.ts";
import { itemAt, minOf } from "#distributions/lists.ts";

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
  const identical = identicalAmong(runs);
  if (runs.length < 3) return { identical, meansOfOthers: [] };
  const gaps = runs.map((run, i) => largestDistance(run, meanCurve(runs.filter((_, j) => j !== i))));
  const meansOfOthers = gaps.flatMap((own, i) => {
    const typical = minOf(gaps.filter((_, j) => j !== i));
    return own <= roundingShare && own <= nearness * typical ? [i] : [];
  });
  return { identical, meansOfOthers };
}

/** Pairs of places whose curves are the same: of many runs only those are compared that agree at one size. */
function identicalAmong(runs: readonly Curve[]): (readonly [number, number])[] {
  const [first] = runs;
  const at = first === undefined ? null : sizeAt(first, 0.5);
  const sorted = runs
    .map((run, place) => ({ run, place, share: at === null ? 0 : undersizeAt(run, at) }))
    .toSorted((a, b) => a.share - b.share);
  const pairs = sorted.flatMap((a, i) => {
    const found: (readonly [number, number])[] = [];
    for (let k = i + 1; k < sorted.length; k++) {
      const b = itemAt(sorted, k);
      if (b.share - a.share > lastDigits) break;
      if (largestDistance(a.run, b.run) <= lastDigits)
        found.push([Math.min(a.place, b.place), Math.max(a.place, b.place)]);
    }
    return found;
  });
  return pairs.toSorted(([a, b], [c, d]) => a - c || b - d);
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

/**
 * The runs without later copies of one of them, for intervals over runs: what stands once a run goes with it. A mean of the
 * others stays: of three runs the middle one lies near it by chance.
 */
export function ownRuns<Run>(runs: readonly Run[], curve: (run: Run) => Curve): readonly Run[] {
  const twins = new Set(identicalAmong(runs.map(curve)).map(([, later]) => later));
  return twins.size === 0 ? runs : runs.filter((_, place) => !twins.has(place));
}
