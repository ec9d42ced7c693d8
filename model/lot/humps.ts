import { type Curve, meanCurve, undersizeAt } from "#distributions/curve.ts";
import { itemAt, maxOf } from "#distributions/lists.ts";
import { type Dip, dipOf } from "./dip.ts";
import { smoothed } from "./lumps.ts";

/** What the runs say about a second hump in the density per ln x. */
export interface Humps {
  readonly verdict: "one hump" | "possible second hump" | "second hump";
  /** Where the humps stand, of the runs' mean, rising; one size for one hump. */
  readonly atUm: readonly number[];
  /** Share of the whole on the smaller one's side of the valley, mean over runs; null for one hump. */
  readonly smallerShare: number | null;
}

/** Two runs may agree by chance. */
const minRuns = 3;

/**
 * Two humps are said where the density dips between them beyond noise in every run; with fewer than three runs they are possible.
 *
 * @param runs  of one powder
 * @returns     null without a run
 * Source: ours, simulated (docs/validation.md); docs/science.md.
 */
export function humpsOf(runs: readonly Curve[]): Humps | null {
  if (runs.length === 0) return null;
  const dip = dipOf(runs);
  if (dip === null) return { verdict: "one hump", atUm: [highestOf(runs)], smallerShare: null };
  return {
    verdict: runs.length >= minRuns ? "second hump" : "possible second hump",
    atUm: dip.peaksUm,
    smallerShare: smallerShareOf(runs, dip),
  };
}

function highestOf(runs: readonly Curve[]): number {
  const { sizesUm, heights } = smoothed(meanCurve(runs));
  return itemAt(sizesUm, heights.indexOf(maxOf(heights)));
}

function smallerShareOf(runs: readonly Curve[], { valleyUm }: Dip): number {
  const below = runs.reduce((sum, run) => sum + undersizeAt(run, valleyUm), 0) / runs.length;
  return Math.min(below, 1 - below);
}
