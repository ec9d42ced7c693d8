/** Trials and priors as flat lists; `count` coefficients. */
export interface NormalModel {
  readonly count: number;
  /** One row of `count` factors a trial, one trial after another. */
  readonly rows: Float64Array;
  readonly ys: Float64Array;
  readonly priorMeans: Float64Array;
  /** 1/sd² of each prior; 0 where it is flat. */
  readonly precisions: Float64Array;
}

/** For each σ of a grid, one after another: how well it explains the trials, and what is then believed of the coefficients. */
export interface NoiseGrid {
  /** ln p(y|σ) up to a constant; −∞ where the coefficients are not determined. */
  readonly logLikelihoods: Float64Array;
  readonly means: Float64Array;
  /** Lower triangles of the precisions, each `count` rows of `count`. */
  readonly triangles: Float64Array;
}

/**
 * The coefficients given σ: normal with precision A = XᵀX/σ² + diag(τ) and mean A⁻¹(Xᵀy/σ² + τ·m); and
 * ln p(y|σ) = −n ln σ − ½ ln|A| − ½ (Σ (y − x·β)²/σ² + Σ τ(β − m)²) up to what does not depend on σ, from residuals about the
 * posterior mean, which do not cancel.
 */
export function noiseGrid(model: NormalModel, sigmas: Float64Array): NoiseGrid {
  const { count, rows, ys, priorMeans, precisions } = model;
  const trials = ys.length;
  const squares = new Float64Array(count * count);
  const products = new Float64Array(count);
  for (let i = 0; i < trials; i++)
    for (let a = 0; a < count; a++) {
      const value = rows[i * count + a];
      products[a] += value * ys[i];
      for (let b = 0; b <= a; b++) squares[a * count + b] += value * rows[i * count + b];
    }
  const logLikelihoods = new Float64Array(sigmas.length);
  const means = new Float64Array(sigmas.length * count);
  const triangles = new Float64Array(sigmas.length * count * count);
  for (let k = 0; k < sigmas.length; k++) {
    const inverse = 1 / (sigmas[k] * sigmas[k]);
    const lower = triangles.subarray(k * count * count, (k + 1) * count * count);
    const mean = means.subarray(k * count, (k + 1) * count);
    for (let a = 0; a < count; a++) {
      for (let b = 0; b <= a; b++) lower[a * count + b] = squares[a * count + b] * inverse;
      lower[a * count + a] += precisions[a];
      mean[a] = products[a] * inverse + priorMeans[a] * precisions[a];
    }
    const diagonal = triangleOf(lower, count);
    if (!(diagonal > 0)) {
      logLikelihoods[k] = Number.NEGATIVE_INFINITY;
      continue;
    }
    solveInPlace(lower, count, mean);
    let misfit = 0;
    for (let i = 0; i < trials; i++) {
      let left = ys[i];
      for (let a = 0; a < count; a++) left -= rows[i * count + a] * mean[a];
      misfit += left * left;
    }
    misfit *= inverse;
    for (let a = 0; a < count; a++) misfit += precisions[a] * (mean[a] - priorMeans[a]) ** 2;
    // ½ ln|A| is the sum of the logarithms of the triangle's diagonal.
    logLikelihoods[k] = -trials * Math.log(sigmas[k]) - Math.log(diagonal) - 0.5 * misfit;
  }
  return { logLikelihoods, means, triangles };
}

/** The lower triangle in the place of the lower half of its matrix. @returns the product of its diagonal; 0 where the matrix is not positive */
function triangleOf(lower: Float64Array, count: number): number {
  let product = 1;
  for (let i = 0; i < count; i++)
    for (let j = 0; j <= i; j++) {
      let left = lower[i * count + j];
      for (let k = 0; k < j; k++) left -= lower[i * count + k] * lower[j * count + k];
      if (j < i) lower[i * count + j] = left / lower[j * count + j];
      else {
        if (!(left > 0)) return 0;
        lower[i * count + i] = Math.sqrt(left);
        product *= lower[i * count + i];
      }
    }
  return product;
}

/** Solves L·Lᵀ·x = b in the place of b. */
function solveInPlace(lower: Float64Array, count: number, x: Float64Array): void {
  for (let i = 0; i < count; i++) {
    let left = x[i];
    for (let k = 0; k < i; k++) left -= lower[i * count + k] * x[k];
    x[i] = left / lower[i * count + i];
  }
  for (let i = count - 1; i >= 0; i--) {
    let left = x[i];
    for (let k = i + 1; k < count; k++) left -= lower[k * count + i] * x[k];
    x[i] = left / lower[i * count + i];
  }
}

/** (L·Lᵀ)⁻¹ of the triangle at one place of the grid, by rows. */
export function covarianceAt({ triangles }: NoiseGrid, k: number, count: number): Float64Array[] {
  const lower = triangles.subarray(k * count * count, (k + 1) * count * count);
  return Array.from({ length: count }, (_, i) => {
    const column = new Float64Array(count);
    column[i] = 1;
    solveInPlace(lower, count, column);
    return column;
  });
}
