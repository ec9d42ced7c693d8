import { countBelow } from "#distributions/kernels/sorted.ts";

/** Straight between values at the whole places 0, 1, …; a place must lie between the first and the last. */
export function valueAtPlace(values: readonly number[], place: number): number {
  const i = Math.min(Math.floor(place), values.length - 2);
  return values[i] + (values[i + 1] - values[i]) * (place - i);
}

/** The place of a value among rising values: the reverse of `valueAtPlace`; infinite beyond the ends. */
export function placeOfValue(rising: readonly number[], value: number): number {
  const last = rising.length - 1;
  if (value > rising[last]) return Number.POSITIVE_INFINITY;
  if (value < rising[0]) return Number.NEGATIVE_INFINITY;
  const high = Math.max(countBelow(rising, value), 1);
  return high - 1 + (value - rising[high - 1]) / (rising[high] - rising[high - 1]);
}
