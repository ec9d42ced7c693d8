import { type Curve, undersizeAt } from "#distributions/curve.ts";
import type { FallingGrid } from "./kernel.ts";
import { undersizeOfFalling } from "./kernels/balance.ts";

/**
 * A feed on the circuit's classes: what its undersize curve rises by over each, split as the curve runs (straight in ln x
 * unless it says otherwise). Nothing is lost: what lies under the last edge is the remainder.
 */
export function feedByClass(feed: Curve, grid: FallingGrid): Float64Array {
  let above = 1;
  const shares = grid.edgesUm.map((edge, i) => {
    const before = above;
    if (i > 0) above = Math.min(before, undersizeAt(feed, edge));
    return before - above;
  });
  return Float64Array.of(...shares.subarray(1), above);
}

/** Undersize curve of shares by class, finest first as everywhere else. */
export function curveByClass(shares: Float64Array, grid: FallingGrid): Curve {
  return { edgesUm: [...grid.edgesUm].reverse(), undersize: undersizeOfFalling(shares), power: 0 };
}
