import { type Curve, sizeAt } from "./curve.ts";

/** (D90 − D10)/D50, a width without unit; null where one of them lies in the unseen share. Trade use; USP. */
export function span(curve: Curve): number | null {
  const d10 = sizeAt(curve, 0.1);
  const d50 = sizeAt(curve, 0.5);
  const d90 = sizeAt(curve, 0.9);
  return d10 === null || d50 === null || d90 === null ? null : (d90 - d10) / d50;
}
