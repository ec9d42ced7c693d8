import { type Curve, meanCurve, undersizeAt } from "#distributions/curve.ts";
import { itemAt, maxOf } from "#distributions/lists.ts";

/** Powder that lies apart above the main powder: what lumps and hard agglomerates look like. */
export interface Lumps {
  /** The size of the valley between the main powder and what lies apart. */
  readonly aboveUm: number;
  /** Share of the powder above it, mean over the runs. */
  readonly share: number;
  /** Where most of what lies apart is. */
  readonly peakUm: number;
}

/** A valley is one where the density is so much of the later peak or less … */
const ofLaterPeak = 0.8;
/** … and of the main peak. */
const ofMainPeak = 0.1;
/** Less powder than this in any run is not told from the tail's own noise. */
const leastShare = 0.003;

/** Densities are taken over this much of ln x, which is wider than the noise of one class. */
const smoothing = 0.2;
const step = 0.02;

/**
 * Powder apart from the main powder and coarser: past the main peak of the runs' mean the density per ln x falls into a valley
 * and rises again, with at least 0.3 % of the powder above the valley in every run.
 *
 * @param runs  of one powder, by volume, at least one
 * @returns     null where nothing lies apart; wide main powders hide what is in their tail
 * Source: ours, simulated (docs/validation.md); docs/science.md.
 */
export function lumpsOf(runs: readonly Curve[]): Lumps | null {
  const mean = meanCurve(runs);
  const { sizesUm, heights } = smoothed(mean);
  const main = heights.indexOf(maxOf(heights));
  let valley = main;
  let lumps: Lumps | null = null;
  let best = 0;
  for (let i = main + 1; i < heights.length; i++) {
    const height = itemAt(heights, i);
    if (height < itemAt(heights, valley)) {
      valley = i;
      best = 0;
      continue;
    }
    const low = itemAt(heights, valley);
    const isApart = low <= ofLaterPeak * height && low <= ofMainPeak * itemAt(heights, main);
    if (!isApart || height <= best) continue;
    best = height;
    const aboveUm = itemAt(sizesUm, valley);
    const shares = runs.map((run) => 1 - undersizeAt(run, aboveUm));
    if (shares.every((share) => share >= leastShare))
      lumps = {
        aboveUm,
        share: shares.reduce((a, b) => a + b, 0) / shares.length,
        peakUm: itemAt(sizesUm, i),
      };
  }
  return lumps;
}

/** Density per ln x over the smoothing width, at even steps of ln x over all edges. */
export function smoothed(curve: Curve): { readonly sizesUm: number[]; readonly heights: number[] } {
  const [from, to] = [itemAt(curve.edgesUm, 0), itemAt(curve.edgesUm, -1)];
  const count = Math.max(2, Math.ceil(Math.log(to / from) / step));
  const sizesUm = Array.from({ length: count + 1 }, (_, i) => from * (to / from) ** (i / count));
  return { sizesUm, heights: sizesUm.map((x) => heightAt(curve, x)) };
}

/** Density per ln x about a size, over the smoothing width. */
export function heightAt(curve: Curve, sizeUm: number): number {
  const half = Math.exp(smoothing / 2);
  return (undersizeAt(curve, sizeUm * half) - undersizeAt(curve, sizeUm / half)) / smoothing;
}
