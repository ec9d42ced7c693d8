import { type Curve, undersizeAt } from "#distributions/curve.ts";
import type { FallingGrid } from "./kernel.ts";

/**
 * A feed on the circuit's classes: what its undersize curve rises by over each, split as the curve runs (straight in ln x
 * unless it says otherwise). Nothing is lost: what lies under the last edge is the remainder.
 */
export function feedByClass(feed: Curve, grid: FallingGrid): Float64Array {
  const n = grid.edgesUm.length - 1;
  const shares = new Float64Array(n + 1);
  let above = 1;
  for (let i = 0; i < n; i++) {
    const below = Math.min(above, undersizeAt(feed, grid.edgesUm[i + 1] ?? 0));
    shares[i] = above - below;
    above = below;
  }
  shares[n] = above;
  return shares;
}

/** Undersize curve of shares by class, finest first as everywhere else. */
export function curveByClass(shares: Float64Array, grid: FallingGrid): Curve {
  const n = grid.edgesUm.length - 1;
  const edgesUm: number[] = [];
  const undersize: number[] = [];
  let sum = shares[n] ?? 0;
  for (let i = n; i >= 0; i--) {
    edgesUm.push(grid.edgesUm[i] ?? 0);
    undersize.push(i === 0 ? 1 : Math.min(sum, 1));
    sum += shares[i - 1] ?? 0;
  }
  return { edgesUm, undersize, power: 0 };
}
