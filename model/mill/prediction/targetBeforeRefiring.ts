import type { Prediction } from "#model/mill/trials/posterior.ts";
import { thinPrediction } from "#model/mill/trials/predictionMixture.ts";
import { type GrowthByPercent, shiftPrediction, widthShiftPrediction } from "./refiringGrowth.ts";

/** What re-firing adds to a further lot, worked out once: ln shifts of D10, D50, D90 and of the two widths. */
export interface RefiringGrowth {
  readonly shift: GrowthByPercent;
  readonly d50: Prediction;
  /** Of ln(D90/D50). */
  readonly coarse: Prediction;
  /** Of ln(D50/D10). */
  readonly fine: Prediction;
  /** Of each percentile by itself, for its interval: in one lot D50 and the widths grow together. */
  readonly percentiles: { readonly d10: Prediction; readonly d50: Prediction; readonly d90: Prediction };
}

/** Components kept of each shift, as of each law: the sums stay short enough for a map. */
const components = 5;

/**
 * How re-firing moves ln D10, D50, D90 and the two widths, for setting the band back to the milled powder.
 * Accuracy: D50 and the widths, which chances are summed over, keep five components. Source: docs/science.md (set-back for re-firing).
 */
export function targetBeforeRefiring(shift: GrowthByPercent): RefiringGrowth {
  const percentiles = {
    d10: shiftPrediction(shift, 10),
    d50: shiftPrediction(shift, 50),
    d90: shiftPrediction(shift, 90),
  };
  return {
    shift,
    percentiles,
    d50: thinPrediction(percentiles.d50, components),
    coarse: thinPrediction(widthShiftPrediction(shift, 90, 50), components),
    fine: thinPrediction(widthShiftPrediction(shift, 50, 10), components),
  };
}
