/**
 * Where a condition that holds from `low` on ends before `high`: halving, down to a width or to the last bits.
 *
 * @param width  of the stretch that is left; 0 for the last bits
 * @param holds  at x
 */
export function bisected(low: number, high: number, width: number, holds: (x: number) => boolean): number {
  let [from, to] = [low, high];
  while (to - from > width) {
    const middle = (from + to) / 2;
    if (middle <= from || middle >= to) break;
    if (holds(middle)) from = middle;
    else to = middle;
  }
  return (from + to) / 2;
}
