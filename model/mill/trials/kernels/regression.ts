import { dot } from "#model/numbers/kernels/vectors.ts";

/** XᵀX and Xᵀy; X by rows. */
export function sumsOf(
  rows: readonly ArrayLike<number>[],
  ys: ArrayLike<number>,
  count: number,
): { squares: Float64Array[]; products: Float64Array } {
  const squares = Array.from({ length: count }, () => new Float64Array(count));
  const products = new Float64Array(count);
  for (let i = 0; i < rows.length; i++)
    for (let a = 0; a < count; a++) {
      products[a] += rows[i][a] * ys[i];
      for (let b = 0; b < count; b++) squares[a][b] += rows[i][a] * rows[i][b];
    }
  return { squares, products };
}

/** XᵀX/σ² + diag(τ), by rows; τ the precisions of the prior. */
export function precisionAt(
  squares: readonly Float64Array[],
  precisions: Float64Array,
  inverse: number,
): Float64Array[] {
  return squares.map((row, a) => row.map((v, b) => v * inverse + (a === b ? precisions[a] : 0)));
}

/** Xᵀy/σ² + τ·m; m the means of the prior. */
export function pullAt(
  products: Float64Array,
  precisions: Float64Array,
  means: Float64Array,
  inverse: number,
): Float64Array {
  return products.map((v, a) => v * inverse + means[a] * precisions[a]);
}

/** Σ (y − x·β)². */
export function misfitOf(
  rows: readonly ArrayLike<number>[],
  ys: ArrayLike<number>,
  coefficients: Float64Array,
): number {
  let sum = 0;
  for (let i = 0; i < rows.length; i++) sum += (ys[i] - dot(rows[i], coefficients)) ** 2;
  return sum;
}

/** Σ τ·(β − m)². */
export function departureOf(
  coefficients: Float64Array,
  means: Float64Array,
  precisions: Float64Array,
): number {
  let sum = 0;
  for (let a = 0; a < means.length; a++) sum += precisions[a] * (coefficients[a] - means[a]) ** 2;
  return sum;
}

/** What one more observation with row z leaves of a covariance: Σ − Σz zᵀΣ/whole. */
export function lessByOne(
  covariance: readonly ArrayLike<number>[],
  reached: Float64Array,
  whole: number,
): Float64Array[] {
  return covariance.map((line, i) =>
    Float64Array.from(line, (v, j) => v - (reached[i] * reached[j]) / whole),
  );
}
