/** Orthogonal triangles of a tall matrix: A = Q·R, with Qᵀb beside it. */
export interface Triangles {
  /** Rows of the upper triangle R: RᵀR = AᵀA. */
  readonly triangle: readonly Float64Array[];
  /** The part of b that the columns reach, turned by Q: as long as the columns' share of b, and Rᵀ·turned = Aᵀb. */
  readonly turned: Float64Array;
}

/**
 * A = Q·R by Householder's reflections. Written here, and flat, because a fit of a mixture takes thousands of them
 * and a general matrix package took fifty times as long.
 *
 * @param columns  n columns of m values each, m ≥ n
 * @param right    m values
 * Source: Golub and Van Loan, Matrix Computations, algorithm 5.2.1 (from memory).
 */
export function triangles(columns: readonly Float64Array[], right: Float64Array): Triangles {
  const n = columns.length;
  const m = right.length;
  const turned = columns.map((column) => column.slice());
  turned.push(right.slice());
  const triangle = columns.map(() => new Float64Array(n));
  for (let k = 0; k < n; k++) {
    const column = turned[k];
    let square = 0;
    for (let i = k; i < m; i++) square += column[i] * column[i];
    const norm = Math.sqrt(square);
    triangle[k][k] = column[k] > 0 ? -norm : norm;
    if (norm > 0) {
      column[k] -= triangle[k][k];
      const half = -triangle[k][k] * column[k];
      for (let j = k + 1; j <= n; j++) {
        const other = turned[j];
        let dot = 0;
        for (let i = k; i < m; i++) dot += column[i] * other[i];
        const factor = dot / half;
        for (let i = k; i < m; i++) other[i] -= factor * column[i];
      }
    }
    for (let j = k + 1; j < n; j++) triangle[k][j] = turned[j][k];
  }
  return { triangle, turned: turned[n].slice(0, n) };
}

/** Solves R·x = b from the bottom up. */
export function solveTriangle(triangle: readonly Float64Array[], right: Float64Array): Float64Array {
  const x = right.slice();
  for (let i = x.length - 1; i >= 0; i--) {
    const row = triangle[i];
    for (let j = i + 1; j < x.length; j++) x[i] -= row[j] * x[j];
    x[i] /= row[i];
  }
  return x;
}

/** (RᵀR)⁻¹ = R⁻¹·R⁻ᵀ. */
export function inverseOfSquare(triangle: readonly Float64Array[]): number[][] {
  const columns = triangle.map((_, j) => {
    const unit = new Float64Array(triangle.length);
    unit[j] = 1;
    return solveTriangle(triangle, unit);
  });
  return triangle.map((_, i) =>
    triangle.map((__, j) => {
      let sum = 0;
      for (const column of columns) sum += column[i] * column[j];
      return sum;
    }),
  );
}
