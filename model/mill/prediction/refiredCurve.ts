import { type Curve, sizeAt } from "#distributions/curve.ts";
import { zip } from "#distributions/lists.ts";
import { type GrowthByPercent, meanShift, meanShiftFrom, type RefiringPair } from "./refiringGrowth.ts";

/** The percentiles at which whole curves are paired. */
const curvePercents: readonly number[] = [2, 5, 10, 20, 30, 40, 50, 60, 70, 80, 90, 95, 98];

/** A lot's two curves as a pair; null where one of the percentiles lies outside what was measured. */
export function pairOfCurves(lot: string, milled: Curve, refired: Curve): RefiringPair | null {
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

/** Between these percentiles a curve grows by rank, beyond them by size. */
const [finePercent, coarsePercent] = [10, 90];

/**
 * What a milled curve becomes on re-firing. From D10 to D90 every size grows by the mean shift of its own percentile, as
 * its percentiles are predicted. In the tails it grows as the lots' own sizes do that lie as far from their D10 or D90:
 * a percentile there would carry the growth of one powder's fines over to the larger grains of a powder with fewer.
 * Sizes never cross: where the shift would fold the curve, the larger size stands.
 */
export function refiredCurve(milled: Curve, shift: GrowthByPercent): Curve {
  const d10 = sizeAt(milled, finePercent / 100);
  const d90 = sizeAt(milled, coarsePercent / 100);
  const shiftOf = (size: number, percent: number) => {
    if (percent < finePercent && d10 !== null) return meanShiftFrom(shift, finePercent, Math.log(size / d10));
    if (percent > coarsePercent && d90 !== null)
      return meanShiftFrom(shift, coarsePercent, Math.log(size / d90));
    return meanShift(shift, percent);
  };
  let largest = 0;
  const edgesUm = zip(milled.edgesUm, milled.undersize).map(([size, share]) => {
    const grown = size * Math.exp(shiftOf(size, 100 * share));
    largest = grown > largest ? grown : largest * (1 + 1e-12);
    return largest;
  });
  return { ...milled, edgesUm };
}
