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
  let low = 0;
  let high = last;
  while (high - low > 1) {
    const mid = (low + high) >> 1;
    if (rising[mid] < value) low = mid;
    else high = mid;
  }
  return low + (value - rising[low]) / (rising[high] - rising[low]);
}

/** Straight between points whose xs rise, level beyond them. */
export function straightAt(xs: readonly number[], ys: readonly number[], x: number): number {
  const last = xs.length - 1;
  let above = 0;
  while (above <= last && xs[above] < x) above++;
  if (above > last) return ys[last];
  if (above === 0 || xs[above] === x) return ys[above];
  const low = xs[above - 1];
  return ys[above - 1] + ((ys[above] - ys[above - 1]) * (x - low)) / (xs[above] - low);
}
