/**
 * How many of a rising list lie below x: halving.
 * @param orAt  counts those at x too
 */
export function countBelow(rising: ArrayLike<number>, x: number, orAt = false): number {
  let low = 0;
  let high = rising.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (rising[middle] < x || (orAt && rising[middle] === x)) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Straight between points whose xs rise, level beyond them. */
export function straightAt(xs: ArrayLike<number>, ys: ArrayLike<number>, x: number): number {
  const next = countBelow(xs, x);
  if (next === xs.length) return ys[next - 1];
  if (next === 0 || xs[next] === x) return ys[next];
  const low = xs[next - 1];
  return ys[next - 1] + ((ys[next] - ys[next - 1]) * (x - low)) / (xs[next] - low);
}
