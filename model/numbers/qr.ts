/** Orthogonal triangles of a tall matrix: A = Q·R, with Qᵀb beside it. */
export interface Triangles {
  /** Rows of the upper triangle R. */
  readonly triangle: readonly (readonly number[])[];
  /** The part of b that the columns reach, turned by Q: as long as the columns' share of b. */
  readonly turned: readonly number[];
}

/** Below this ratio of the diagonal of R, columns of length 1 are the same to rounding. */
const rankTolerance = 1e-13;

/**
 * Householder's reflections. Written here, and flat, because a fit of a mixture takes thousands of them
 * and a general matrix package took fifty times as long.
 *
 * @param columns  n columns of m values each, m ≥ n
 * @param right    m values
 * Source: Golub and Van Loan, Matrix Computations, algorithm 5.2.1 (from memory).
 */
export function triangles(columns: readonly Float64Array[], right: Float64Array): Triangles {
  const work = columns.map((column) => column.slice());
  const b = right.slice();
  const m = b.length;
  const diagonal: number[] = [];
  for (const [k, column] of work.entries()) {
    let norm = 0;
    for (let i = k; i < m; i++) norm += (column[i] ?? 0) ** 2;
    norm = Math.sqrt(norm);
    if (norm === 0) {
      diagonal.push(0);
      continue;
    }
    const head = column[k] ?? 0;
    const reflected = head > 0 ? -norm : norm;
    column[k] = head - reflected;
    const half = -reflected * (column[k] ?? 0);
    for (const other of [...work.slice(k + 1), b]) {
      let dot = 0;
      for (let i = k; i < m; i++) dot += (column[i] ?? 0) * (other[i] ?? 0);
      const factor = dot / half;
      for (let i = k; i < m; i++) other[i] = (other[i] ?? 0) - factor * (column[i] ?? 0);
    }
    diagonal.push(reflected);
  }
  const n = work.length;
  const triangle = diagonal.map((d, row) =>
    Array.from({ length: n }, (_, j) => (j < row ? 0 : j === row ? d : (work[j]?.[row] ?? 0))),
  );
  return { triangle, turned: Array.from(b.slice(0, n)) };
}

/** Whether every column adds something of its own. */
export function isFullRank(triangle: readonly (readonly number[])[]): boolean {
  const diagonal = triangle.map((row, i) => Math.abs(row[i] ?? 0));
  return Math.min(...diagonal) > rankTolerance * Math.max(...diagonal);
}

/** Solves R·x = b from the bottom up. */
export function solveTriangle(triangle: readonly (readonly number[])[], right: readonly number[]): number[] {
  const x = [...right];
  for (let i = x.length - 1; i >= 0; i--) {
    let sum = x[i] ?? 0;
    for (let j = i + 1; j < x.length; j++) sum -= (triangle[i]?.[j] ?? 0) * (x[j] ?? 0);
    x[i] = sum / (triangle[i]?.[i] ?? 1);
  }
  return x;
}

/** The same triangle with √λ under each column: the damped problem, without another pass over the rows. */
export function damped({ triangle, turned }: Triangles, damping: number): Triangles {
  const n = turned.length;
  const root = Math.sqrt(damping);
  const columns = turned.map((_, j) => {
    const column = new Float64Array(2 * n);
    for (let i = 0; i < n; i++) column[i] = triangle[i]?.[j] ?? 0;
    column[n + j] = root;
    return column;
  });
  const right = new Float64Array(2 * n);
  right.set(turned);
  return triangles(columns, right);
}

/** (RᵀR)⁻¹. */
export function inverseOfSquare(triangle: readonly (readonly number[])[]): number[][] {
  const columns = triangle.map((_, j) =>
    solveTriangle(
      triangle,
      triangle.map((__, i) => (i === j ? 1 : 0)),
    ),
  );
  // Row i of R⁻¹ is made of the i-th values of its columns.
  return triangle.map((_, i) =>
    triangle.map((__, j) => columns.reduce((sum, column) => sum + (column[i] ?? 0) * (column[j] ?? 0), 0)),
  );
}
