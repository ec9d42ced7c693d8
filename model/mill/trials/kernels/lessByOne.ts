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
