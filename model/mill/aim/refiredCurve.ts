import { type Curve, sizeAt } from "#distributions/curve.ts";
import { meanShift, type RefirePair, type RefireShift } from "./refire.ts";

/** The percentiles at which whole curves are paired. */
const curvePercents: readonly number[] = [2, 5, 10, 20, 30, 40, 50, 60, 70, 80, 90, 95, 98];

/** A lot's two curves as a pair; null where one of the percentiles lies outside what was measured. */
export function pairOfCurves(lot: string, milled: Curve, refired: Curve): RefirePair | null {
  const milledUm = curvePercents.map((p) => sizeAt(milled, p / 100));
  const refiredUm = curvePercents.map((p) => sizeAt(refired, p / 100));
  const known = [...milledUm, ...refiredUm].every((size) => size !== null);
  return known
    ? {
        lot,
        percents: curvePercents,
        milledUm: milledUm.filter((size) => size !== null),
        refiredUm: refiredUm.filter((size) => size !== null),
      }
    : null;
}

/**
 * What a milled curve becomes on re-firing: every size grows by the mean shift of its own percentile.
 * Sizes never cross: where the shift would fold the curve, the larger size stands.
 */
export function refiredCurve(milled: Curve, shift: RefireShift): Curve {
  let largest = 0;
  const edgesUm = milled.edgesUm.map((size, i) => {
    const grown = size * Math.exp(meanShift(shift, 100 * (milled.undersize[i] ?? 0)));
    largest = grown > largest ? grown : largest * (1 + 1e-12);
    return largest;
  });
  return { ...milled, edgesUm };
}
