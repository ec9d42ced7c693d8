import { type Curve, shifted, sizeAt } from "#distributions/curve.ts";

/** A trial whose whole curve was measured. */
export interface TrialCurve {
  readonly name: string;
  readonly speedRpm: number;
  readonly curve: Curve;
}

/**
 * The whole product to expect: the curve of the trial nearest in ln speed, slid along ln x until its median is the predicted one.
 * @returns null where no trial has a curve, or its median is not known
 */
export function predictedCurve(
  trials: readonly TrialCurve[],
  speedRpm: number,
  d50Um: number,
): { readonly curve: Curve; readonly from: TrialCurve } | null {
  const distance = (t: TrialCurve) => Math.abs(Math.log(t.speedRpm / speedRpm));
  const [nearest] = [...trials].sort((a, b) => distance(a) - distance(b));
  if (nearest === undefined) return null;
  const own = sizeAt(nearest.curve, 0.5);
  return own === null ? null : { curve: shifted(nearest.curve, d50Um / own), from: nearest };
}
