/** How many of a rising list lie below x: halving. */
export function countBelow(sorted: ArrayLike<number>, x: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle] < x) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** How many of a rising list lie at x or below. */
export function countUpTo(sorted: ArrayLike<number>, x: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle] <= x) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Straight between points whose xs rise, level beyond them. */
export function straightAt(xs: ArrayLike<number>, ys: ArrayLike<number>, x: number): number {
  const next = countBelow(xs, x);
  if (next === 0) return ys[0];
  if (next === xs.length) return ys[next - 1];
  const width = xs[next] - xs[next - 1];
  return ys[next - 1] + ((x - xs[next - 1]) / width) * (ys[next] - ys[next - 1]);
}
