import type { FreeForm } from "#distributions/families/family.ts";
import { itemAt, zip } from "#distributions/lists.ts";
import type { Bounds, CurveModel, FitProblem } from "./curveModel.ts";
import type { FitPoints } from "./fitPoints.ts";
import { logarithms } from "./kernels/residuals.ts";

/** The curve of a family held to the points of a measurement, for the general engine. */
export function problemOf<P>(
  free: FreeForm<P>,
  { lnSizes, fromUm, shares }: FitPoints,
  bounds: Bounds,
): FitProblem {
  const lnFrom = fromUm === null ? null : logarithms(fromUm);
  const model: CurveModel = {
    value: (p) => {
      const undersize = free.undersize(p);
      return (i) => undersize(itemAt(lnSizes, i)) - (lnFrom === null ? 0 : undersize(itemAt(lnFrom, i)));
    },
    slopes: (p) => {
      const slopes = free.slopes(p);
      return (i) => {
        const here = slopes(itemAt(lnSizes, i));
        if (lnFrom === null) return here;
        return zip(here, slopes(itemAt(lnFrom, i))).map(([a, b]) => a - b);
      };
    },
  };
  return { model, xs: shares.map((_, i) => i), ys: shares, bounds };
}
