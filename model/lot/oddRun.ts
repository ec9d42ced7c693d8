import { type Curve, meanCurve } from "#distributions/curve.ts";
import { distances } from "#distributions/distances.ts";

/** A run that lies apart from the others. */
export interface OddRun {
  /** Its place among the runs, from 0. */
  readonly index: number;
  /** Largest gap to the mean of the others, percentage points. */
  readonly gapPoints: number;
  readonly atUm: number;
  /** The largest such gap among the others without it. */
  readonly othersPoints: number;
}

/** Fewer runs cannot tell which of them is odd. */
export const minRunsForOddRun = 5;

/** Gaps below this many points are the instrument's own last digits. A judgement of ours. */
const leastGapPoints = 0.1;

/**
 * How many times the others' own largest gap a run must lie apart: one lot in twenty without an odd run exceeds it where runs
 * scatter exponentially, which makes lone far runs by itself, and about one in a hundred where they scatter normally (simulated).
 */
const factors: readonly (readonly [runs: number, factor: number])[] = [
  [5, 5.5],
  [6, 4.8],
  [8, 4],
  [10, 3.7],
  [12, 3.4],
];

/**
 * The one run, if any, whose leave-one-out max gap stands out from those of the others.
 * @returns null with fewer than five runs, or where no run stands out
 * Accuracy: false in at most 5 % of lots without an odd run, for 5 to 12 runs, under exponential scatter too (docs/validation.md).
 * Source: docs/science.md (leave-one-out max gap).
 */
export function oddRun(runs: readonly Curve[]): OddRun | null {
  if (runs.length < minRunsForOddRun) return null;
  const candidates = runs.map((run, index) => {
    const others = runs.filter((_, i) => i !== index);
    const { maxGapPoints, atUm } = distances(run, meanCurve(others));
    return { index, gapPoints: maxGapPoints, atUm, others };
  });
  const worst = candidates.reduce((a, b) => (b.gapPoints > a.gapPoints ? b : a));
  const othersPoints = Math.max(
    ...worst.others.map(
      (run, i) => distances(run, meanCurve(worst.others.filter((_, j) => j !== i))).maxGapPoints,
    ),
  );
  if (worst.gapPoints <= factorFor(runs.length) * Math.max(othersPoints, leastGapPoints)) return null;
  return { index: worst.index, gapPoints: worst.gapPoints, atUm: worst.atUm, othersPoints };
}

/** Straight between the runs listed; the last beyond them. */
function factorFor(runs: number): number {
  for (const [i, [to, factor]] of factors.entries()) {
    if (runs > to) continue;
    const [from, before] = factors[i - 1] ?? [to, factor];
    return to === from ? factor : before + ((factor - before) * (runs - from)) / (to - from);
  }
  return factors.at(-1)?.[1] ?? 2;
}
