import { lowerOf, solveWith } from "./kernels/symmetric.ts";

/**
 * The lower triangle L of a symmetric matrix A = L·Lᵀ, by rows; null where A is not positive.
 * L_ij = (A_ij − Σ_{k<j} L_ik L_jk)/L_jj, L_ii = √(A_ii − Σ_{k<i} L_ik²).
 */
export function cholesky(matrix: readonly ArrayLike<number>[]): readonly Float64Array[] | null {
  const lower = lowerOf(matrix, 0);
  return lower.every((row) => row.at(-1) !== 0) ? lower : null;
}

/** The same of a covariance that may be singular: a number that others determine gets a zero on the diagonal. */
export function choleskyOfCovariance(covariance: readonly ArrayLike<number>[]): readonly Float64Array[] {
  return lowerOf(covariance, 1e-12);
}

/** The inverse of A from its triangle. */
export function inverseFrom(lower: readonly Float64Array[]): Float64Array[] {
  return lower.map((_, i) =>
    solveWith(
      lower,
      lower.map((__, j) => (i === j ? 1 : 0)),
    ),
  );
}
