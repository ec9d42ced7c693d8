import { curveOf } from "#distributions/curve.ts";
import { itemAt } from "#distributions/lists.ts";
import type { SizeDistribution } from "#distributions/sizeDistribution.ts";

/**
 * What a fit is held to.
 * edges: Q at every edge from the last with nothing below it to the first with everything below it; empty classes at the
 * ends change nothing. all: Q at every edge as given, as some sources do. classes: each class's own share.
 */
export type PointSet = "edges" | "all" | "classes";

export const pointSets: readonly PointSet[] = ["edges", "all", "classes"];

export interface FitPoints {
  readonly sizesUm: readonly number[];
  /** Where the share begins that a point stands for; null for the whole of what is finer. */
  readonly fromUm: readonly (number | null)[];
  readonly shares: readonly number[];
  /** How many points carry information: edges with 0 < Q < 1, classes with a share. */
  readonly telling: number;
}

/** Source: ISO 9276-3; docs/science.md. */
export function fitPoints(m: SizeDistribution, points: PointSet): FitPoints {
  const { edgesUm, undersize } = curveOf(m);
  if (points === "classes") {
    return {
      sizesUm: edgesUm.slice(1),
      fromUm: edgesUm.slice(0, -1),
      shares: m.shares,
      telling: m.shares.filter((share) => share > 0).length,
    };
  }
  let first = 0;
  let last = undersize.length - 1;
  if (points === "edges") {
    while (first + 1 < undersize.length && itemAt(undersize, first + 1) <= 0) first++;
    while (last - 1 > first && itemAt(undersize, last - 1) >= 1 - 1e-12) last--;
  }
  const shares = undersize.slice(first, last + 1);
  return {
    sizesUm: edgesUm.slice(first, last + 1),
    fromUm: shares.map(() => null),
    shares,
    telling: shares.filter((q) => q > 0 && q < 1).length,
  };
}
