import { itemAt } from "#distributions/lists.ts";
import { evenSteps } from "#model/numbers/evenSteps.ts";
import type { NormalMixture } from "#model/numbers/kernels/normalMixture.ts";
import { dot } from "#model/numbers/kernels/vectors.ts";
import { mixtureAtRow } from "./kernels/mixtures.ts";
import { covarianceAt, type NormalModel, noiseGrid } from "./kernels/noiseGrid.ts";

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
 * Source: normal linear regression with conjugate prior given σ (textbook); docs/science.md. Accuracy: quantiles as with 4000 points in ln σ within 1e-6 of the spread.
 */
export function posteriorOf(
  rows: readonly (readonly number[])[],
  ys: readonly number[],
  priors: readonly CoefficientPrior[],
  noise: NoisePrior,
): Posterior {
  const count = priors.length;
  const model: NormalModel = {
    count,
    rows: Float64Array.from(rows.flat()),
    ys: Float64Array.from(ys),
    priorMeans: Float64Array.from(priors, ({ mean }) => mean),
    precisions: Float64Array.from(priors, ({ sd }) => (sd === null ? 0 : 1 / sd ** 2)),
  };
  const typical = typicalNoise(model);
  const from = Math.log(Math.min(0.002, typical / 30));
  const to = Math.log(Math.max(3, 3000 * typical));
  const sigmas = Float64Array.from(
    evenSteps(from, to, Math.ceil((to - from) / stepFor(ys.length)) + 1),
    Math.exp,
  );
  const grid = noiseGrid(model, sigmas);
  const logWeights = grid.logLikelihoods.map((ln, k) => ln + logPriorOf(noise, itemAt(sigmas, k)));
  const best = logWeights.reduce((most, ln) => Math.max(most, ln), Number.NEGATIVE_INFINITY);
  const weights = logWeights.map((ln) => Math.exp(ln - best));
  const kept = Array.from(weights.keys()).filter((k) => itemAt(weights, k) > negligible);
  const sum = kept.reduce((total, k) => total + itemAt(weights, k), 0);
  return {
    components: kept.map((k) => ({
      weight: itemAt(weights, k) / sum,
      sigma: itemAt(sigmas, k),
      mean: grid.means.slice(k * count, (k + 1) * count),
      covariance: covarianceAt(grid, k, count),
    })),
  };
}

/** Step of the grid in ln σ: n trials leave ln σ unknown by about 1/√(2n), and sums over even steps of half that are exact to all digits. */
function stepFor(trials: number): number {
  return Math.min(0.08, 0.5 / Math.sqrt(2 * Math.max(trials, 1)));
}

/** The rms misfit about a first fit: only sets where the grid of σ lies. */
function typicalNoise(model: NormalModel): number {
  const { count, rows, ys } = model;
  const { logLikelihoods, means } = noiseGrid(model, Float64Array.of(0.05));
  if (ys.length === 0 || !Number.isFinite(itemAt(logLikelihoods, 0))) return 0.05;
  const misfits = ys.map((y, i) => (y - dot(rows.subarray(i * count, (i + 1) * count), means)) ** 2);
  return Math.max(Math.sqrt(misfits.reduce((a, b) => a + b, 0) / ys.length), 1e-6);
}

/** The prediction at one setting. */
export type Prediction = NormalMixture;

/** @param withNoise  true for one further run; false for the law itself, without run noise */
export function predict({ components }: Posterior, row: readonly number[], withNoise = true): Prediction {
  return mixtureAtRow(components, row, withNoise);
}
