import { type Curve, meanCurve } from "#distributions/curve.ts";
import { itemAt, maxOf, threeOf } from "#distributions/lists.ts";
import { heightAt, smoothed } from "./lumps.ts";

/** Two peaks of the density per ln x with a valley between. */
export interface Dip {
  readonly valleyUm: number;
  readonly peaksUm: readonly [number, number];
  /** Density in the valley over that of the lower peak, mean over the runs. */
  readonly depth: number;
}

/** In every run the valley is at most so much of its lower peak. */
const shallowest = 0.95;

/** … and its mean lies below the lower peak by so many of its own standard errors. */
const errors = 3;

/** Of the higher peak: a lower one than this carries no hump worth a word. */
const leastPeak = 0.02;

/**
 * A dip between two humps that is there beyond noise in every run. A flat top and a curve that is cut off have none.
 *
 * @param runs  of one powder, at least one
 * @returns     null where there is none
 * Source: ours, simulated (docs/validation.md); docs/science.md.
 */
export function dipOf(runs: readonly Curve[]): Dip | null {
  const { sizesUm, heights } = smoothed(meanCurve(runs));
  const dips = valleysOf(heights).flatMap(({ left, valley, right }): Dip[] => {
    const places = [left, valley, right].map((i) => itemAt(sizesUm, i));
    const depths = runs.map((run) => {
      const [a, v, b] = threeOf(places.map((place) => heightAt(run, place)));
      return v / Math.min(a, b);
    });
    const depth = depths.reduce((a, b) => a + b, 0) / depths.length;
    const spread = Math.sqrt(
      depths.reduce((sum, d) => sum + (d - depth) ** 2, 0) / Math.max(1, depths.length - 1),
    );
    const isBeyondNoise =
      depths.every((d) => d <= shallowest) && 1 - depth > (errors * spread) / Math.sqrt(depths.length);
    return isBeyondNoise
      ? [{ valleyUm: itemAt(places, 1), peaksUm: [itemAt(places, 0), itemAt(places, 2)], depth }]
      : [];
  });
  return dips.sort((a, b) => a.depth - b.depth)[0] ?? null;
}

/** Each lowest place with the highest ones to its left and right, of those worth a word. */
function valleysOf(heights: readonly number[]): { left: number; valley: number; right: number }[] {
  const top = maxOf(heights);
  return heights.flatMap((height, valley) => {
    if (!(height < (heights[valley - 1] ?? 0) && height <= (heights[valley + 1] ?? 0))) return [];
    const left = highest(heights, 0, valley);
    const right = highest(heights, valley + 1, heights.length);
    const lower = Math.min(itemAt(heights, left), itemAt(heights, right));
    return lower >= leastPeak * top ? [{ left, valley, right }] : [];
  });
}

function highest(heights: readonly number[], from: number, to: number): number {
  const part = heights.slice(from, to);
  return from + part.indexOf(maxOf(part));
}
