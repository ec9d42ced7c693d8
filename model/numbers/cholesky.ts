/** The lower triangle L of a symmetric positive matrix A = L·Lᵀ; null where A is not positive. */
export function cholesky(matrix: readonly (readonly number[])[]): number[][] | null {
  const lower: number[][] = [];
  for (const [i, row] of matrix.entries()) {
    const here: number[] = [];
    for (let j = 0; j <= i; j++) {
      const above = lower[j] ?? here;
      let sum = row[j] ?? 0;
      for (let k = 0; k < j; k++) sum -= (here[k] ?? 0) * (above[k] ?? 0);
      if (i === j) {
        if (!(sum > 0)) return null;
        here.push(Math.sqrt(sum));
      } else {
        here.push(sum / (above[j] ?? 1));
      }
    }
    lower.push(here);
  }
  return lower;
}

/** Solves L·Lᵀ·x = b. */
export function solveWith(lower: readonly (readonly number[])[], right: readonly number[]): number[] {
  const n = lower.length;
  const x = [...right];
  for (let i = 0; i < n; i++) {
    let sum = x[i] ?? 0;
    for (let k = 0; k < i; k++) sum -= (lower[i]?.[k] ?? 0) * (x[k] ?? 0);
    x[i] = sum / (lower[i]?.[i] ?? 1);
  }
  for (let i = n - 1; i >= 0; i--) {
    let sum = x[i] ?? 0;
    for (let k = i + 1; k < n; k++) sum -= (lower[k]?.[i] ?? 0) * (x[k] ?? 0);
    x[i] = sum / (lower[i]?.[i] ?? 1);
  }
  return x;
}

/** The inverse of A from its triangle. */
export function inverseFrom(lower: readonly (readonly number[])[]): number[][] {
  return lower.map((_, i) =>
    solveWith(
      lower,
      lower.map((__, j) => (i === j ? 1 : 0)),
    ),
  );
}

/** ln |A| from its triangle. */
export function logDeterminant(lower: readonly (readonly number[])[]): number {
  return 2 * lower.reduce((sum, row, i) => sum + Math.log(row[i] ?? 1), 0);
}
