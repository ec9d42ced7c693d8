import type { Prediction } from "#model/mill/trials/posterior.ts";
import { sumOf, thinPrediction } from "#model/mill/trials/predictionMixture.ts";
import { intervalOf, type Setting, type SizeInterval } from "#model/mill/trials/trialFit.ts";
import { endOf } from "#model/mill/trials/widthPrediction.ts";
import type { FittedMill } from "./fittedMill.ts";
import { type OutlierLot, outlierLot } from "./outlierLot.ts";
import { type PredictedProduct, predictedProductAt } from "./predictedProduct.ts";
import { type Growth, growthOf, maxShift, meanShift, minPairs, minShift } from "./refiringGrowth.ts";

/** D10, D50 and D90 of one further run; null where no trial has the percentile. */
export interface PredictedSizes {
  readonly d10Um: SizeInterval | null;
  readonly d50Um: SizeInterval;
  readonly d90Um: SizeInterval | null;
}

/** What re-firing is expected to make of a run, and what that rests on. */
export interface PredictedRefired extends PredictedSizes {
  /** Lots it was learned from. */
  readonly lots: number;
  /** Mean ratio re-fired over milled. */
  readonly growth: Growth;
  /** The same ratio of the lot that grew least and of the one that grew most, each percentile for itself. */
  readonly growthRange: { readonly least: Growth; readonly most: Growth };
  /** The lot that is an outlier; null where none is. */
  readonly odd: OutlierLot | null;
  /** False below three lots: then the intervals hold the mill's own scatter alone. */
  readonly hasSpread: boolean;
}

/** Components kept of each part of a sum before its quantiles are sought. */
const components = 8;

function summed(a: Prediction, b: Prediction): Prediction {
  return sumOf(thinPrediction(a, components), thinPrediction(b, components));
}

/** ln D10, D50 and D90 of a product. */
function percentilesOf({ d50, coarse, fine }: PredictedProduct) {
  return {
    d10: fine === null ? null : endOf(d50, fine, -1, components),
    d50,
    d90: coarse === null ? null : endOf(d50, coarse, 1, components),
  };
}

function sizesOf({ d10, d50, d90 }: ReturnType<typeof percentilesOf>, level: number): PredictedSizes {
  return {
    d10Um: d10 === null ? null : intervalOf(d10, level),
    d50Um: intervalOf(d50, level),
    d90Um: d90 === null ? null : intervalOf(d90, level),
  };
}

/** The milled product at a setting. D50 by the full law, the widths by the thinned one. */
export function milledSizes({ fit, thin }: FittedMill, setting: Setting, level: number): PredictedSizes {
  const sizes = sizesOf(percentilesOf(predictedProductAt(thin, setting, null)), level);
  return {
    ...sizes,
    d50Um: intervalOf(
      predictedProductAt({ ...fit, coarseWidth: null, fineWidth: null }, setting, null).d50,
      level,
    ),
  };
}

/** The same after re-firing; null where no lot has both stages. */
export function refiredSizes(
  { thin, growth }: FittedMill,
  setting: Setting,
  level: number,
): PredictedRefired | null {
  if (growth === null) return null;
  const { shift, percentiles } = growth;
  const milled = percentilesOf(predictedProductAt(thin, setting, null));
  // Each percentile by its own growth: that of D50 and that of a width go together in a lot, so their sum would not do.
  const grown = {
    d10: milled.d10 === null ? null : summed(milled.d10, percentiles.d10),
    d50: summed(milled.d50, percentiles.d50),
    d90: milled.d90 === null ? null : summed(milled.d90, percentiles.d90),
  };
  return {
    ...sizesOf(grown, level),
    lots: shift.lots.length,
    growth: growthOf(growth, meanShift),
    growthRange: { least: growthOf(growth, minShift), most: growthOf(growth, maxShift) },
    odd: outlierLot(shift),
    hasSpread: shift.lots.length >= minPairs,
  };
}
