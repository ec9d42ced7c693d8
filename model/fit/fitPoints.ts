import { type Curve, curveOf } from "#distributions/curve.ts";
import { itemAt } from "#distributions/lists.ts";
import type { SizeDistribution } from "#distributions/sizeDistribution.ts";
import { logarithms } from "./kernels/residuals.ts";

/**
 * What a fit is held to.
 * edges: Q at every edge from the last with nothing below it to the first with everything below it; empty classes at the
 * ends change nothing. all: Q at every edge as given, as some sources do. classes: each class's own share.
 */
export type PointSet = "edges" | "all" | "classes";

export const pointSets: readonly PointSet[] = ["edges", "all", "classes"];

export interface FitPoints {
  readonly sizesUm: readonly number[];
  /** ln of each size. */
  readonly lnSizes: readonly number[];
  /** Where the share begins that a point stands for; null where each is the whole of what is finer. */
  readonly fromUm: readonly number[] | null;
  readonly shares: readonly number[];
  /** How many points carry information: edges with 0 < Q < 1, classes with a share. */
  readonly telling: number;
}

/**
 * @param curve  its undersize curve, where that is known already
 * Source: ISO 9276-3; docs/science.md.
 */
export function fitPoints(m: SizeDistribution, points: PointSet, curve: Curve = curveOf(m)): FitPoints {
  const { edgesUm, undersize } = curve;
  if (points === "classes") {
    const sizesUm = edgesUm.slice(1);
    const telling = m.shares.filter((share) => share > 0).length;
    return {
      sizesUm,
      lnSizes: logarithms(sizesUm),
      fromUm: edgesUm.slice(0, -1),
      shares: m.shares,
      telling,
    };
  }
  let first = 0;
  let last = undersize.length - 1;
  if (points === "edges") {
    while (first + 1 < undersize.length && itemAt(undersize, first + 1) <= 0) first++;
    while (last - 1 > first && itemAt(undersize, last - 1) >= 1 - 1e-12) last--;
  }
  const sizesUm = edgesUm.slice(first, last + 1);
  const shares = undersize.slice(first, last + 1);
  const telling = shares.filter((q) => q > 0 && q < 1).length;
  return { sizesUm, lnSizes: logarithms(sizesUm), fromUm: null, shares, telling };
}
