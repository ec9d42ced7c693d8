import { type Prediction, predict } from "#model/mill/trials/posterior.ts";
import { sumOf, thinPosterior } from "#model/mill/trials/predictionMixture.ts";
import { rowOf, type Setting, type TrialFit } from "#model/mill/trials/trialFit.ts";
import type { RefiringGrowth } from "./refiringGrowth.ts";

/** A further run's product: ln D50 and the two widths, each a mixture of normals; a width is null where no trial has it. */
export interface PredictedProduct {
  readonly d50: Prediction;
  /** ln(D90/D50). */
  readonly coarse: Prediction | null;
  /** ln(D50/D10). */
  readonly fine: Prediction | null;
}

/** Components kept of each law: enough for a chance to within 0.01, few enough for a map. */
const components = 5;

/** The same law with few components, for sums of mixtures and for maps. */
export function thinned(fit: TrialFit): TrialFit {
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
 * The product of one further run at a setting, and what re-firing makes of it where that is known.
 * D50 and the widths are taken as independent of each other.
 *
 * @param fit  thinned, where a shift is added
 */
export function predictedProductAt(
  fit: TrialFit,
  setting: Setting,
  growth: RefiringGrowth | null,
): PredictedProduct {
  const row = rowOf(setting, fit.reference);
  const of = (posterior: TrialFit["posterior"], shift: Prediction | undefined) => {
    const milled = predict(posterior, row);
    return shift === undefined ? milled : sumOf(milled, shift);
  };
  return {
    d50: of(fit.posterior, growth?.d50),
    coarse: fit.coarseWidth === null ? null : of(fit.coarseWidth, growth?.coarse),
    fine: fit.fineWidth === null ? null : of(fit.fineWidth, growth?.fine),
  };
}
