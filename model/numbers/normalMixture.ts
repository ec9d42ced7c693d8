import { normalDeviate } from "#distributions/families/normalDeviate.ts";
import { normalForm } from "#distributions/families/normalForm.ts";
import { maxOf, minOf } from "#distributions/lists.ts";
import { chanceWith, densityAt, movedBy, type NormalMixture } from "./kernels/normalMixture.ts";

/** The chance of a value at most y. Accuracy: that of the normal curve. */
export function chanceBelow(mixture: NormalMixture, y: number): number {
  return chanceWith(mixture, y, normalForm.undersize);
}

/** The value that a chance p lies below: Newton's steps inside a bracket that halves when they leave it. Accuracy 1e-11. */
export function mixtureQuantile(mixture: NormalMixture, p: number): number {
  // The mixture's quantile lies between those of its parts.
  const parts = movedBy(mixture, normalDeviate(p));
  let low = minOf(parts);
  let high = maxOf(parts);
  let y = (low + high) / 2;
  for (let step = 0; step < 200 && high - low > 1e-12 * (1 + Math.abs(y)); step++) {
    const gap = chanceBelow(mixture, y) - p;
    if (Math.abs(gap) < 1e-13) break;
    if (gap > 0) high = y;
    else low = y;
    const next = y - gap / densityAt(mixture, y);
    y = next > low && next < high ? next : (low + high) / 2;
  }
  return y;
}
