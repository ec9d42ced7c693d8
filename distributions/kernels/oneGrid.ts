/** Whether several lists of edges are one and the same. */
export function areOneGrid(lists: readonly (readonly number[])[]): boolean {
  const [first] = lists;
  for (const list of lists) {
    if (list === first) continue;
    if (list.length !== first.length) return false;
    for (let i = 0; i < list.length; i++) if (list[i] !== first[i]) return false;
  }
  return true;
}

/** Σ weight · value at each place, of lists of one length. */
export function weightedSums(lists: readonly (readonly number[])[], weights: ArrayLike<number>): number[] {
  return lists[0].map((_, i) => {
    let sum = 0;
    for (let j = 0; j < lists.length; j++) sum += weights[j] * lists[j][i];
    return sum;
  });
}

/** The largest difference at one place of two lists of one length. */
export function largestGap(a: readonly number[], b: readonly number[]): number {
  let largest = 0;
  for (let i = 0; i < a.length; i++) largest = Math.max(largest, Math.abs(a[i] - b[i]));
  return largest;
}
