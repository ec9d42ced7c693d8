import { middleAndVariance } from "#model/mill/trials/kernels/widths.ts";
import { type Prediction, predict } from "#model/mill/trials/posterior.ts";
import { sumOf, thinPosterior } from "#model/mill/trials/predictionMixture.ts";
import { rowOf, type Setting, type TrialFit } from "#model/mill/trials/trialFit.ts";
import type { WidthLaws } from "#model/mill/trials/widthLaws.ts";
import {
  noiseVarianceOf,
  type WidthPrediction,
  widthFrom,
  widthPlus,
} from "#model/mill/trials/widthPrediction.ts";
import type { RefiringGrowth } from "./refiringGrowth.ts";

/** A further run's product: ln D50, and the two widths that go with it; a width is null where no trial has it. */
export interface PredictedProduct {
  readonly d50: Prediction;
  /** ln(D90/D50). */
  readonly coarse: WidthPrediction | null;
  /** ln(D50/D10). */
  readonly fine: WidthPrediction | null;
  /** How the two widths err together at a given D50; 0 when left out. */
  readonly widthsCorrelation?: number;
}

/** Components kept of each law: enough for a chance to within 0.01, few enough for a map. */
const components = 5;

/** The same law with few components, for sums of mixtures and for maps. */
export function thinned<F extends WidthLaws & Pick<TrialFit, "posterior">>(fit: F): F {
  const thin = <T extends TrialFit["posterior"] | null>(posterior: T) =>
    posterior === null ? null : thinPosterior(posterior, components);
  return {
    ...fit,
    posterior: thinPosterior(fit.posterior, components),
    coarseWidth: thin(fit.coarseWidth),
    fineWidth: thin(fit.fineWidth),
  };
}

/**
 * The product of one further run at a setting, and what re-firing makes of it where that is known: D10, D50 and D90 go
 * together as they did in the trials; what re-firing adds to D50 and to each width is taken as independent.
 *
 * @param fit  thinned, where a shift is added
 */
export function predictedProductAt(
  fit: TrialFit,
  setting: Setting,
  growth: RefiringGrowth | null,
): PredictedProduct {
  return productAtRow(fit, rowOf(setting, fit.reference), growth);
}

/** The same at a row of factors. */
export function productAtRow(
  fit: WidthLaws & Pick<TrialFit, "posterior">,
  row: readonly number[],
  growth: RefiringGrowth | null,
): PredictedProduct {
  const milled = predict(fit.posterior, row);
  const d50 = growth === null ? milled : sumOf(milled, growth.d50);
  const spread = { d50, milledVariance: middleAndVariance(milled).variance };
  const widthOf = (posterior: TrialFit["posterior"] | null, shift: Prediction | undefined) => {
    if (posterior === null) return null;
    const width = widthFrom(posterior, row, spread);
    return shift === undefined ? width : widthPlus(width, shift);
  };
  const coarse = widthOf(fit.coarseWidth, growth?.coarse);
  const fine = widthOf(fit.fineWidth, growth?.fine);
  return { d50, coarse, fine, widthsCorrelation: correlationAt(fit, coarse, fine) };
}

/** Of the whole errors, of which the runs' own is only a part: the law's and re-firing's are taken as independent. */
function correlationAt(
  { coarseWidth, fineWidth, widthsCorrelation }: WidthLaws,
  coarse: WidthPrediction | null,
  fine: WidthPrediction | null,
): number {
  if (coarse === null || fine === null || coarseWidth === null || fineWidth === null) return 0;
  const part = (posterior: TrialFit["posterior"], width: WidthPrediction) =>
    Math.min(1, noiseVarianceOf(posterior) / middleAndVariance(width).variance);
  return widthsCorrelation * Math.sqrt(part(coarseWidth, coarse) * part(fineWidth, fine));
}
