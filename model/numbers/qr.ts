import { itemAt, maxOf, minOf } from "#distributions/lists.ts";

/** Below this ratio of the diagonal of R, columns of length 1 are the same to rounding. */
const rankTolerance = 1e-13;

/** Whether every column of the matrix that a triangle R was made of adds something of its own. */
export function isFullRank(triangle: readonly Float64Array[]): boolean {
  const diagonal = triangle.map((row, i) => Math.abs(itemAt(row, i)));
  return minOf(diagonal) > rankTolerance * maxOf(diagonal);
}
