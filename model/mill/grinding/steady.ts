import { itemAt } from "#distributions/lists.ts";
import {
  passingByLn,
  passingByPower,
  passingOfFinest,
  type Separation,
} from "#model/mill/separation/separation.ts";
import { type FallingGrid, gaussPlaces, type Kernel } from "./kernel.ts";
import { forwardBalance } from "./kernels/balance.ts";
import { meansInClasses, meansOfLogLogistic, meansOfPowerInClasses } from "./kernels/rates.ts";

/** The steady state of a grinding zone with a wheel, for unit feed; classes coarsest first, the remainder last. */
export interface Steady {
  /** Powder held in each class per unit feed, s. */
  readonly holdUpS: Float64Array;
  /** Product in each class; sums to 1. */
  readonly product: Float64Array;
  readonly meanResidenceS: number;
  /** What the wheel throws back over the fresh feed. */
  readonly recycle: number;
}

/** A class that receives powder and can neither break nor leave. */
export interface Stuck {
  readonly stuckClass: number;
}

/** Share of each class that passes the wheel: the mean over ln x in the class; the remainder passes as the finest does. */
export function passingByClass(grid: FallingGrid, separation: Separation): Float64Array {
  const classes = {
    topLn: Math.log(itemAt(grid.edgesUm, 0) / separation.cutUm),
    widthLn: Math.log(grid.ratio),
    classes: grid.edgesUm.length - 1,
    below: passingOfFinest(separation),
  };
  const power = passingByPower(separation);
  if (power === null) return meansInClasses(classes, gaussPlaces, passingByLn(separation));
  return power.kind === "log-logistic"
    ? meansOfLogLogistic(classes, gaussPlaces, power)
    : meansOfPowerInClasses(classes, gaussPlaces, power.steepness, power.of);
}

/**
 * Steady balance by one forward substitution from the coarsest class down:
 * held_i = (feed_i + Σ landing_ij held_j) / (losing_i + leaving_i). Where fragments are powers of z the sum is carried along.
 *
 * @param feed          share of the feed in each class, the remainder last; sums to 1
 * @param offerPerS     how often the wheel is offered what is held, 1/s
 * @param passingShares of each class, from `passingByClass`
 * Source: docs/science.md. Accuracy: mass balance 1e-14 (tests/model/mill/grinding/circuit.test.ts).
 */
export function steadyState(
  kernel: Kernel,
  feed: Float64Array,
  offerPerS: number,
  passingShares: Float64Array,
): Steady | Stuck {
  const solved = forwardBalance(kernel, feed, offerPerS, passingShares);
  if ("stuckClass" in solved) return solved;
  const { holdUpS, product, heldS } = solved;
  return { holdUpS, product, meanResidenceS: heldS, recycle: offerPerS * heldS - 1 };
}
