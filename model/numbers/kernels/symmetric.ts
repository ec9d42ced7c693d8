/**
 * The lower triangle of a symmetric matrix, by rows. What is left of a place on the diagonal counts as nothing when it is
 * no more than a share of what stood there: that row hangs on those above it, and its column is 0.
 */
export function lowerOf(matrix: readonly ArrayLike<number>[], negligible: number): Float64Array[] {
  const lower = matrix.map((_, i) => new Float64Array(i + 1));
  for (let i = 0; i < matrix.length; i++) {
    const own = lower[i];
    for (let j = 0; j <= i; j++) {
      const other = lower[j];
      let left = matrix[i][j];
      for (let k = 0; k < j; k++) left -= own[k] * other[k];
      if (j < i) own[j] = other[j] > 0 ? left / other[j] : 0;
      else own[j] = left > negligible * matrix[i][i] ? Math.sqrt(left) : 0;
    }
  }
  return lower;
}

/** Solves L·Lᵀ·x = b. */
export function solveWith(lower: readonly Float64Array[], right: ArrayLike<number>): Float64Array {
  const x = Float64Array.from(right);
  for (let i = 0; i < x.length; i++) {
    for (let k = 0; k < i; k++) x[i] -= lower[i][k] * x[k];
    x[i] /= lower[i][i];
  }
  for (let i = x.length - 1; i >= 0; i--) {
    for (let k = i + 1; k < x.length; k++) x[i] -= lower[k][i] * x[k];
    x[i] /= lower[i][i];
  }
  return x;
}

/** ln |A| of A = L·Lᵀ: Σ 2 ln L_ii. */
export function logDeterminant(lower: readonly Float64Array[]): number {
  let sum = 0;
  for (let i = 0; i < lower.length; i++) sum += 2 * Math.log(lower[i][i]);
  return sum;
}
