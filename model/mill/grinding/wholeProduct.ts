import type { Curve } from "#distributions/curve.ts";
import { maxOf, minOf } from "#distributions/lists.ts";
import type { SizeInterval } from "../trials/trialFit.ts";
import { type CircuitShape, productTied, type TiedKernel } from "./tied.ts";

/** The whole product of the balance, and the same at both ends of the interval of its median. */
export interface WholeProduct {
  readonly curve: Curve;
  readonly finer: Curve;
  readonly coarser: Curve;
  /** Circulating load, powder returned over feed, at the median and at both ends of its interval. */
  readonly recycle: { readonly middle: number; readonly low: number; readonly high: number };
}

/**
 * The steady product whose median is the trials' own, with the band that its interval spans: cheap enough for a slider.
 *
 * @param d50Um  of the powder as it is drawn; milled where nothing is done to it afterwards
 * @param after  what re-firing makes of a milled curve, and by how much it moves the median; null for the milled product
 * @returns      null where the balance has no product so coarse
 */
export function wholeProduct(
  of: TiedKernel,
  shape: CircuitShape,
  d50Um: SizeInterval,
  after: { readonly growth: number; readonly fired: (milled: Curve) => Curve } | null,
): WholeProduct | null {
  const at = (um: number) => {
    const tied = productTied(of, shape, after === null ? um : um / after.growth);
    if (tied === null) return null;
    const curve = after === null ? tied.productCurve : after.fired(tied.productCurve);
    return { curve, recycle: tied.recycle };
  };
  const { median, low, high } = d50Um;
  const middle = at(median);
  const finer = low === median ? middle : at(low);
  const coarser = high === median ? middle : at(high);
  if (middle === null || finer === null || coarser === null) return null;
  const loads = [middle, finer, coarser].map(({ recycle }) => recycle);
  return {
    curve: middle.curve,
    finer: finer.curve,
    coarser: coarser.curve,
    recycle: { middle: middle.recycle, low: minOf(loads), high: maxOf(loads) },
  };
}
