import type { Curve } from "#distributions/curve.ts";
import type { Mill } from "#model/mill/mill.ts";
import { type Priors, usualPriors } from "#model/mill/trials/priors.ts";
import type { Trial } from "#model/mill/trials/trial.ts";
import { fitTrials, type TrialFit } from "#model/mill/trials/trialFit.ts";
import { outlierLot } from "./outlierLot.ts";
import { thinned } from "./predictedProduct.ts";
import { type ProductShape, productShape, shapeOf } from "./productShape.ts";
import { refiredCurve } from "./refiredCurve.ts";
import {
  type GrowthByPercent,
  growthByPercent,
  type RefiringGrowth,
  type RefiringPair,
  refiringGrowth,
} from "./refiringGrowth.ts";

/** All that is learned once from trials and re-fired lots; a slider then only asks it. */
export interface FittedMill {
  readonly fit: TrialFit;
  /** The same law with few components, for sums and maps. */
  readonly thin: TrialFit;
  /** What re-firing adds; null where no lot has both stages. */
  readonly growth: RefiringGrowth | null;
  /** Shape of the milled product, and of it re-fired; null where no trial has its whole curve. */
  readonly shape: ProductShape | null;
  readonly refiredShape: ProductShape | null;
  /** What re-firing adds by the other lots where one is an outlier; null where none is. */
  readonly withoutOutlier: (Pick<FittedMill, "growth" | "refiredShape"> & { readonly lot: string }) | null;
}

/** What is known beside the trials. */
export interface KnownBesideTrials {
  /** Lots before and after they were fired again. */
  readonly pairs?: readonly RefiringPair[] | undefined;
  readonly priors?: Priors | undefined;
  /** Whole curves of the trials' products, where they were measured. */
  readonly curves?: readonly Curve[] | undefined;
}

/**
 * @returns       null where there is nothing to learn from or refer to: no trials and no rated speed
 */
export function fitMill(
  mill: Mill,
  trials: readonly Trial[],
  { pairs = [], priors = usualPriors, curves = [] }: KnownBesideTrials = {},
): FittedMill | null {
  if (trials.length === 0 && mill.ratedSpeedRpm === null) return null;
  const fit = fitTrials(mill, trials, priors);
  const shape = productShape(curves);
  const shift = growthByPercent(pairs);
  const lot = shift === null ? undefined : outlierLot(shift)?.lot;
  return {
    fit,
    thin: thinned(fit),
    shape,
    ...refired(shape, shift),
    withoutOutlier:
      lot === undefined
        ? null
        : { lot, ...refired(shape, growthByPercent(pairs.filter((p) => p.lot !== lot))) },
  };
}

function refired(
  shape: ProductShape | null,
  shift: GrowthByPercent | null,
): Pick<FittedMill, "growth" | "refiredShape"> {
  return {
    growth: shift === null ? null : refiringGrowth(shift),
    refiredShape: shift === null || shape === null ? null : shapeOf(refiredCurve(shape.curve, shift)),
  };
}
