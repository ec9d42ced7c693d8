import { zip } from "#distributions/lists.ts";
import { pairs, repeated } from "./kernels/mixtures.ts";
import { middleAndVariance, sumWithWidth, widthsAtRow } from "./kernels/widths.ts";
import type { Posterior, Prediction } from "./posterior.ts";
import { thinPrediction } from "./predictionMixture.ts";

/**
 * ln(D90/D50) or ln(D50/D10) of one further run, as a mixture of normals where its D50 is the middle one; and how each
 * component moves, and its variance with it, for each ln that D50 lies off that middle.
 */
export interface WidthPrediction extends Prediction {
  /** Absent where the width does not hang on D50. */
  readonly byD50?: {
    readonly middle: number;
    readonly slopes: readonly number[];
    /** Variance: sd² + 2·cross·e + square·e². */
    readonly crosses: readonly number[];
    readonly squares: readonly number[];
  };
}

/** ln D50 of the product at a setting, and how much of its variance is the milled run's: the rest is of re-firing. */
export interface ExpectedD50 {
  readonly d50: Prediction;
  readonly milledVariance: number;
}

/**
 * A width at a setting from its law, whose last coefficient is of the run's own departure of ln D50 from its law. Where
 * re-firing moves D50 too, only the part ρ of a departure that is the milled run's to be expected moves the width, ρ its
 * share of the variance; the rest widens it.
 *
 * Source: conditional normal laws (textbook); docs/science.md.
 */
export function widthFrom(width: Posterior, row: readonly number[], expected: ExpectedD50): WidthPrediction {
  const { mean: middle, variance } = middleAndVariance(expected.d50);
  const part = variance > 0 ? Math.min(1, expected.milledVariance / variance) : 0;
  const hidden = part === 1 ? 0 : expected.milledVariance * (1 - part);
  const { weights, means, sds, ...moves } = widthsAtRow(width.components, row, { part, hidden });
  return { weights, means, sds, byD50: { middle, ...moves } };
}

/** The run's own noise of a law, Σ w·σ². */
export function noiseVarianceOf({ components }: Posterior): number {
  return components.reduce((sum, { weight, sigma }) => sum + weight * sigma ** 2, 0);
}

/** The width with another, independent value added to it. */
export function widthPlus(width: WidthPrediction, other: Prediction): WidthPrediction {
  const both = pairs(width, other);
  if (width.byD50 === undefined) return both;
  const each = (values: readonly number[]) => repeated(values, other.weights.length);
  const { middle, slopes, crosses, squares } = width.byD50;
  return {
    ...both,
    byD50: { middle, slopes: each(slopes), crosses: each(crosses), squares: each(squares) },
  };
}

/**
 * ln D90 (side 1) or ln D10 (side −1) of a run: ln D50 and the width that goes with it, with at most `count` components of each.
 * Every pair is taken as normal, with its own mean and variance.
 */
export function endOf(d50: Prediction, width: WidthPrediction, side: 1 | -1, count: number): Prediction {
  const thin = thinPrediction(d50, count);
  if (width.byD50 === undefined) return sumWithWidth(thin, thinPrediction(width, count), null, side);
  return sumWithWidth(thin, width, width.byD50, side);
}

/** How two widths of a run err together beside D50: from −1 to 1, of what the trials show, drawn towards 0 by so many trials' worth. */
export function correlationOf(coarse: readonly number[], fine: readonly number[]): number {
  const sum = (of: readonly (readonly [number, number])[]) => of.reduce((total, [a, b]) => total + a * b, 0);
  const both = sum(zip(coarse, fine));
  const spread = Math.sqrt(sum(zip(coarse, coarse)) * sum(zip(fine, fine)));
  return spread > 0 ? (both / spread) * (coarse.length / (coarse.length + trialsWorthOfNone)) : 0;
}

/** Judgement: four trials without any correlation stand for what is believed before. */
const trialsWorthOfNone = 4;
