import type { Prediction } from "../trials/posterior.ts";
import { type RefireShift, shiftPrediction, widthShiftPrediction } from "./refire.ts";

/** What re-firing adds to a further lot, worked out once: ln shifts of D50 and of the two widths. */
export interface Aim {
  readonly shift: RefireShift;
  readonly d50: Prediction;
  /** Of ln(D90/D50). */
  readonly coarse: Prediction;
  /** Of ln(D50/D10). */
  readonly fine: Prediction;
}

export function aimOf(shift: RefireShift): Aim {
  return {
    shift,
    d50: shiftPrediction(shift, 50),
    coarse: widthShiftPrediction(shift, 90, 50),
    fine: widthShiftPrediction(shift, 50, 10),
  };
}
