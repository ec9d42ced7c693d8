import { mean, sampleCorrelation } from "simple-statistics";
import { itemAt, maxOf, minOf, zip } from "#distributions/lists.ts";
import {
  type CoefficientPrior,
  type NoisePrior,
  type NormalComponent,
  posteriorOf,
  predict,
} from "#model/mill/trials/posterior.ts";
import { thinPosterior } from "#model/mill/trials/predictionMixture.ts";
import { choleskyOfCovariance } from "#model/numbers/cholesky.ts";
import type { NormalMixture } from "#model/numbers/kernels/normalMixture.ts";
import { dot, quadratic } from "#model/numbers/kernels/vectors.ts";

/** A setting of a step as the lots had it, one value a lot. */
export interface StepSetting {
  readonly name: string;
  readonly values: readonly number[];
  /** Whether it is a wheel's speed, which enters as its ln. */
  readonly isWheelSpeed: boolean;
}

/** What the lots tell of one step: sizes before and after it in µm, a list a size (D10, D50, D90), one value a lot. */
export interface StepRecord {
  /** Null for the first step. */
  readonly beforeUm: readonly (readonly number[])[] | null;
  readonly afterUm: readonly (readonly number[])[];
  readonly settings: readonly StepSetting[];
}

/** The law of one step at settings that are chosen: of each size what is believed, and how the sizes go together. */
export interface StepLaw {
  readonly lots: number;
  readonly sizes: readonly SizeLaw[];
  /** Lower triangle of the correlation of the sizes' departures. */
  readonly together: readonly Float64Array[];
}

/** ln of one size after the step = value + carried · (ln of the size before − middleBefore) + lot. */
export interface SizeLaw {
  readonly components: readonly NormalComponent[];
  /** Factors of the settings chosen, 1 first; the place of the size before holds 0. */
  readonly row: readonly number[];
  /** Of ln of the size before; null for the first step. */
  readonly middleBefore: number | null;
}

/** Fewer lots than this tell no step. */
export const minLotsForStep = 3;

/** How much of a departure before a step is still there after it: between none, as behind a classifier wheel, and all. [judgement] */
const carriedPrior: CoefficientPrior = { mean: 0.5, sd: 0.5 };
/** Effect of a setting in ln size over the range that was tried. [judgement] */
const settingPrior: CoefficientPrior = { mean: 0, sd: 0.5 };
/** Exponent of a wheel's speed, as in the regression of trials. */
const speedPrior: CoefficientPrior = { mean: -1, sd: 0.5 };
/** As in the regression of trials: no scatter is ruled out. */
const noise: NoisePrior = { of: "half t", degrees: 1, scale: 0.1 };
const keptComponents = 12;
/** So many lots weigh as much as the belief that the sizes of a lot depart independently. */
const lotsOfDoubt = 4;

/** A setting as it enters the law: ln of a speed over its mean, else from −1/2 to 1/2 over what was tried; null where nothing can be told of it. */
export function scaleOf({ values, isWheelSpeed }: StepSetting): ((value: number) => number) | null {
  if (isWheelSpeed) {
    const middle = mean(values.map(Math.log));
    return (value) => Math.log(value) - middle;
  }
  const [low, high] = [minOf(values), maxOf(values)];
  return high > low ? (value) => (value - (low + high) / 2) / (high - low) : null;
}

/**
 * The law of a step from the lots that went through it.
 *
 * @param chosen  a value a setting, in their order
 * @returns null below three lots
 * Source: normal regression with priors, as of the mill's trials (docs/science.md, "chain of steps").
 */
export function stepLaw(
  { beforeUm, afterUm, settings }: StepRecord,
  chosen: readonly number[],
): StepLaw | null {
  const [first = []] = afterUm;
  const lots = first.length;
  if (lots < minLotsForStep) return null;
  const entered = zip(settings, chosen).flatMap(([setting, value]) => {
    const scale = scaleOf(setting);
    return scale === null ? [] : [{ setting, scaled: setting.values.map(scale), at: scale(value) }];
  });
  const residuals: number[][] = [];
  const sizes = afterUm.map((sizesUm, s): SizeLaw => {
    const before = beforeUm === null ? null : itemAt(beforeUm, s).map(Math.log);
    const middleBefore = before === null ? null : mean(before);
    const columns = [
      ...(before === null || middleBefore === null ? [] : [before.map((v) => v - middleBefore)]),
      ...entered.map(({ scaled }) => scaled),
    ];
    const rows = sizesUm.map((_, lot) => [1, ...columns.map((column) => itemAt(column, lot))]);
    const ys = sizesUm.map(Math.log);
    const priors = [
      { mean: 0, sd: null },
      ...(before === null ? [] : [carriedPrior]),
      ...entered.map(({ setting }) => (setting.isWheelSpeed ? speedPrior : settingPrior)),
    ];
    const posterior = posteriorOf(rows, ys, priors, noise);
    residuals.push(zip(rows, ys).map(([row, y]) => y - middleOf(predict(posterior, row))));
    return {
      components: thinPosterior(posterior, keptComponents).components,
      row: [1, ...(before === null ? [] : [0]), ...entered.map(({ at }) => at)],
      middleBefore,
    };
  });
  return { lots, sizes, together: togetherOf(residuals, lots) };
}

function middleOf({ weights, means }: NormalMixture): number {
  return dot(weights, means);
}

/** Correlation of the departures, drawn towards none where the lots are few, as its lower triangle. */
function togetherOf(residuals: readonly (readonly number[])[], lots: number): readonly Float64Array[] {
  const trust = lots / (lots + lotsOfDoubt);
  const correlation = residuals.map((a, i) =>
    residuals.map((b, j) => {
      if (i === j) return 1;
      const r = sampleCorrelation([...a], [...b]);
      return Number.isFinite(r) ? trust * r : 0;
    }),
  );
  return choleskyOfCovariance(correlation);
}

/** The size after the step where the one before it is known, as a mixture of normals of its ln; without the lot's own scatter, what is not known of the law alone. */
export function afterStep({ components, row, middleBefore }: SizeLaw, lnBefore: number, withScatter = true) {
  const at = middleBefore === null ? row : row.map((v, i) => (i === 1 ? lnBefore - middleBefore : v));
  return predict({ components }, at, withScatter);
}

/** One component of a law over the departure t of the size before: mean + slope·t, with variance + linear·t + square·t². */
export interface LawOverBefore {
  readonly weight: number;
  readonly mean: number;
  readonly slope: number;
  readonly variance: number;
  readonly linear: number;
  readonly square: number;
}

/** The components of a law over the size before, worked out once for many lots. */
export function lawOverBefore({ components, row, middleBefore }: SizeLaw): LawOverBefore[] {
  const still = middleBefore === null ? row : row.map((v, i) => (i === 1 ? 0 : v));
  const before = row.map((_, i) => (middleBefore !== null && i === 1 ? 1 : 0));
  return components.map(({ weight, sigma, mean: coefficients, covariance }) => {
    const turned = covariance.map((line) => dot(before, line));
    return {
      weight,
      mean: dot(still, coefficients),
      slope: dot(before, coefficients),
      variance: sigma ** 2 + quadratic(covariance, still),
      linear: 2 * dot(still, turned),
      square: dot(before, turned),
    };
  });
}

/** How much of a departure before the step is carried through it; 0 for the first. */
export function carriedThrough({ components, middleBefore }: SizeLaw): number {
  if (middleBefore === null) return 0;
  return components.reduce((sum, c) => sum + c.weight * itemAt(Array.from(c.mean), 1), 0);
}
