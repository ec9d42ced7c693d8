import { cholesky, inverseFrom, logDeterminant, solveWith } from "#model/numbers/cholesky.ts";
import { normalCdf, normalQuantile } from "#model/numbers/normal.ts";

/** One factor's prior: its coefficient is about `mean`, give or take `sd`; sd null is flat. */
export interface CoefficientPrior {
  readonly mean: number;
  readonly sd: number | null;
}

/** Prior of the run noise: scaled inverse χ² on σ², or flat in ln σ. */
export type NoisePrior = { readonly degrees: number; readonly scale: number } | "flat";

/** A possible noise, its weight, and what is believed of the coefficients under it. */
interface NormalComponent {
  readonly weight: number;
  readonly sigma: number;
  readonly mean: readonly number[];
  readonly covariance: readonly (readonly number[])[];
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

/** The trials' sums of products, which no σ changes. */
interface Summed {
  readonly rows: readonly (readonly number[])[];
  readonly ys: readonly number[];
  readonly priors: readonly CoefficientPrior[];
  /** 1/sd² of each prior; 0 where it is flat. */
  readonly precisions: readonly number[];
  /** Σ row_a·row_b. */
  readonly squares: readonly (readonly number[])[];
  /** Σ row_a·y. */
  readonly products: readonly number[];
}

function summed(
  rows: readonly (readonly number[])[],
  ys: readonly number[],
  priors: readonly CoefficientPrior[],
): Summed {
  return {
    rows,
    ys,
    priors,
    precisions: priors.map(({ sd }) => (sd === null ? 0 : 1 / sd ** 2)),
    squares: priors.map((_, a) =>
      priors.map((__, b) => rows.reduce((sum, row) => sum + (row[a] ?? 0) * (row[b] ?? 0), 0)),
    ),
    products: priors.map((_, a) => rows.reduce((sum, row, i) => sum + (row[a] ?? 0) * (ys[i] ?? 0), 0)),
  };
}

function componentAt(
  { rows, ys, priors, precisions, squares, products }: Summed,
  noise: NoisePrior,
  sigma: number,
) {
  const inverse = 1 / sigma ** 2;
  const matrix = squares.map((row, a) =>
    row.map((v, b) => v * inverse + (a === b ? (precisions[a] ?? 0) : 0)),
  );
  const right = products.map((v, a) => v * inverse + (priors[a]?.mean ?? 0) * (precisions[a] ?? 0));
  const triangle = cholesky(matrix);
  if (triangle === null) return null;
  const mean = solveWith(triangle, right);
  // ln p(y|σ) up to what does not depend on σ, from residuals about the posterior mean, which do not cancel.
  let misfit = 0;
  for (let i = 0; i < rows.length; i++) misfit += ((ys[i] ?? 0) - dot(rows[i] ?? [], mean)) ** 2;
  let pull = 0;
  for (const [a, prior] of priors.entries())
    pull += (precisions[a] ?? 0) * ((mean[a] ?? 0) - prior.mean) ** 2;
  const logLikelihood =
    -ys.length * Math.log(sigma) - 0.5 * logDeterminant(triangle) - 0.5 * (misfit * inverse + pull);
  const logPrior =
    noise === "flat"
      ? 0
      : -noise.degrees * Math.log(sigma) - (noise.degrees * noise.scale ** 2) / (2 * sigma ** 2);
  return { logWeight: logLikelihood + logPrior, sigma, mean, triangle };
}

/** The rms misfit about a first fit: only sets where the grid of σ lies. */
function typicalNoise(data: Summed): number {
  const { rows, ys } = data;
  const first = componentAt(data, "flat", 0.05);
  if (first === null || ys.length === 0) return 0.05;
  const squares = rows.reduce((sum, row, i) => sum + ((ys[i] ?? 0) - dot(row, first.mean)) ** 2, 0);
  return Math.max(Math.sqrt(squares / ys.length), 1e-6);
}

/** The prediction at one setting: a mixture of normals. */
export interface Prediction {
  readonly weights: readonly number[];
  readonly means: readonly number[];
  readonly sds: readonly number[];
}

/** @param withNoise  true for one further run; false for the law itself, without run noise */
export function predict(posterior: Posterior, row: readonly number[], withNoise = true): Prediction {
  const means: number[] = [];
  const sds: number[] = [];
  for (const { mean, covariance, sigma } of posterior.components) {
    let middle = 0;
    let variance = withNoise ? sigma ** 2 : 0;
    for (let i = 0; i < row.length; i++) {
      const a = row[i] ?? 0;
      if (a === 0) continue;
      middle += a * (mean[i] ?? 0);
      variance += a * dot(covariance[i] ?? [], row);
    }
    means.push(middle);
    sds.push(Math.sqrt(variance));
  }
  return { weights: posterior.components.map((c) => c.weight), means, sds };
}

/** The chance of a value at most y. */
export function chanceBelow(prediction: Prediction, y: number): number {
  let sum = 0;
  for (const [k, weight] of prediction.weights.entries())
    sum += weight * normalCdf((y - (prediction.means[k] ?? 0)) / (prediction.sds[k] ?? 1));
  return sum;
}

/** The value that a chance p lies below: Newton's steps inside a bracket that halves when they leave it. Accuracy 1e-11. */
export function predictionQuantile(prediction: Prediction, p: number): number {
  const { means, sds } = prediction;
  // The mixture's quantile lies between those of its parts.
  const z = normalQuantile(p);
  const parts = means.map((mean, k) => mean + z * (sds[k] ?? 0));
  let low = Math.min(...parts);
  let high = Math.max(...parts);
  let y = (low + high) / 2;
  for (let step = 0; step < 200 && high - low > 1e-12 * (1 + Math.abs(y)); step++) {
    const gap = chanceBelow(prediction, y) - p;
    if (Math.abs(gap) < 1e-13) break;
    if (gap > 0) high = y;
    else low = y;
    const next = y - gap / densityAt(prediction, y);
    y = next > low && next < high ? next : (low + high) / 2;
  }
  return y;
}

function densityAt({ weights, means, sds }: Prediction, y: number): number {
  let sum = 0;
  for (const [k, weight] of weights.entries()) {
    const sd = sds[k] ?? 1;
    const z = (y - (means[k] ?? 0)) / sd;
    sum += (weight * Math.exp(-0.5 * z * z)) / (sd * Math.sqrt(2 * Math.PI));
  }
  return sum;
}

function dot(a: readonly number[], b: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] ?? 0) * (b[i] ?? 0);
  return sum;
}
