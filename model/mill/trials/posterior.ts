import { cholesky, inverseFrom } from "#model/numbers/cholesky.ts";
import type { NormalMixture } from "#model/numbers/kernels/normalMixture.ts";
import { logDeterminant, solveWith } from "#model/numbers/kernels/symmetric.ts";
import { dot, quadratic } from "#model/numbers/kernels/vectors.ts";
import { departureOf, misfitOf, precisionAt, pullAt, sumsOf } from "./kernels/regression.ts";

/** One factor's prior: its coefficient is about `mean`, give or take `sd`; sd null is flat. */
export interface CoefficientPrior {
  readonly mean: number;
  readonly sd: number | null;
}

/** One trial: its factors, and what came out. */
export interface RegressionPoint {
  readonly row: readonly number[];
  readonly y: number;
}

/** Prior of the run noise: half of Student's t about 0 for σ, scaled inverse χ² for σ², or flat in ln σ. */
export type NoisePrior =
  | { readonly of: "half t" | "scaled inverse χ²"; readonly degrees: number; readonly scale: number }
  | "flat";

/** ln of the prior's density over ln σ, up to a constant. */
function logPriorOf(noise: NoisePrior, sigma: number): number {
  if (noise === "flat") return 0;
  const { degrees, scale } = noise;
  return noise.of === "half t"
    ? Math.log(sigma) - ((degrees + 1) / 2) * Math.log1p(sigma ** 2 / (degrees * scale ** 2))
    : -degrees * Math.log(sigma) - (degrees * scale ** 2) / (2 * sigma ** 2);
}

/** A possible noise, its weight, and what is believed of the coefficients under it. */
export interface NormalComponent {
  readonly weight: number;
  readonly sigma: number;
  readonly mean: ArrayLike<number>;
  readonly covariance: readonly ArrayLike<number>[];
}

/** What the trials and the priors together say of a linear law in logarithms. */
export interface Posterior {
  readonly components: readonly NormalComponent[];
}

/** Components that matter less than this change no printed digit and are left out. */
const negligible = 1e-10;

/**
 * The exact posterior of y = X·β + e by a grid over the noise σ: for each σ the coefficients are normal,
 * and the grid point is weighted by how well it explains the trials. No sampling.
 *
 * @param rows  one row of factors a trial
 * @param ys    one value a trial
 * Source: normal linear regression with conjugate prior given σ (textbook); docs/science.md. 400 points in ln σ.
 */
export function posteriorOf(
  rows: readonly (readonly number[])[],
  ys: readonly number[],
  priors: readonly CoefficientPrior[],
  noise: NoisePrior,
): Posterior {
  const data = summed(rows, ys, priors);
  const typical = typicalNoise(data);
  const from = Math.log(Math.min(0.002, typical / 30));
  const to = Math.log(Math.max(3, 3000 * typical));
  const points = 400;
  const raw = Array.from({ length: points }, (_, i) => {
    const sigma = Math.exp(from + ((to - from) * i) / (points - 1));
    return componentAt(data, noise, sigma);
  }).filter((c) => c !== null);
  const best = Math.max(...raw.map((c) => c.logWeight));
  const kept = raw.filter((c) => c.logWeight - best > Math.log(negligible));
  const sum = kept.reduce((total, c) => total + Math.exp(c.logWeight - best), 0);
  return {
    components: kept.map(({ logWeight, triangle, sigma, mean }) => ({
      sigma,
      mean,
      covariance: inverseFrom(triangle),
      weight: Math.exp(logWeight - best) / sum,
    })),
  };
}

/** The trials' sums of products, which no σ changes, and the priors as lists. */
interface Summed {
  readonly rows: readonly (readonly number[])[];
  readonly ys: readonly number[];
  readonly squares: readonly Float64Array[];
  readonly products: Float64Array;
  readonly priorMeans: Float64Array;
  /** 1/sd² of each prior; 0 where it is flat. */
  readonly precisions: Float64Array;
}

function summed(
  rows: readonly (readonly number[])[],
  ys: readonly number[],
  priors: readonly CoefficientPrior[],
): Summed {
  return {
    rows,
    ys,
    ...sumsOf(rows, ys, priors.length),
    priorMeans: Float64Array.from(priors, ({ mean }) => mean),
    precisions: Float64Array.from(priors, ({ sd }) => (sd === null ? 0 : 1 / sd ** 2)),
  };
}

/**
 * The coefficients given σ: normal with precision A = XᵀX/σ² + diag(τ) and mean A⁻¹(Xᵀy/σ² + τ·m); and
 * ln p(y|σ) = −n ln σ − ½ ln|A| − ½ (Σ (y − x·β)²/σ² + Σ τ(β − m)²) up to what does not depend on σ, from residuals about the
 * posterior mean, which do not cancel.
 */
function componentAt(data: Summed, noise: NoisePrior, sigma: number) {
  const { rows, ys, squares, products, priorMeans, precisions } = data;
  const inverse = 1 / sigma ** 2;
  const triangle = cholesky(precisionAt(squares, precisions, inverse));
  if (triangle === null) return null;
  const mean = solveWith(triangle, pullAt(products, precisions, priorMeans, inverse));
  const logLikelihood =
    -ys.length * Math.log(sigma) -
    0.5 * logDeterminant(triangle) -
    0.5 * (misfitOf(rows, ys, mean) * inverse + departureOf(mean, priorMeans, precisions));
  return { logWeight: logLikelihood + logPriorOf(noise, sigma), sigma, mean, triangle };
}

/** The rms misfit about a first fit: only sets where the grid of σ lies. */
function typicalNoise(data: Summed): number {
  const { rows, ys } = data;
  const first = componentAt(data, "flat", 0.05);
  if (first === null || ys.length === 0) return 0.05;
  return Math.max(Math.sqrt(misfitOf(rows, ys, first.mean) / ys.length), 1e-6);
}

/** The prediction at one setting. */
export type Prediction = NormalMixture;

/** @param withNoise  true for one further run; false for the law itself, without run noise */
export function predict({ components }: Posterior, row: readonly number[], withNoise = true): Prediction {
  return {
    weights: components.map((c) => c.weight),
    means: components.map((c) => dot(row, c.mean)),
    sds: components.map((c) => Math.sqrt((withNoise ? c.sigma ** 2 : 0) + quadratic(c.covariance, row))),
  };
}
