/**
 * Lower triangles that move powder from coarser classes to finer ones: rows[i][j], j ≤ i, is where a unit of class j goes.
 */

/** The balance's matrix (A + fastest·I)·step: all of it non-negative. */
export function shiftedBalance(
  losing: Float64Array,
  landing: readonly Float64Array[],
  fastest: number,
  step: number,
): Float64Array[] {
  const n = losing.length;
  return landing.map((from, i) => {
    const row = new Float64Array(i + 1);
    for (let j = 0; j < i; j++) row[j] = from[j] * step;
    row[i] = fastest * step - (i < n ? losing[i] : 0) * step;
    return row;
  });
}

export function identityTriangle(size: number): Float64Array[] {
  return Array.from({ length: size }, (_, i) => {
    const row = new Float64Array(i + 1);
    row[i] = 1;
    return row;
  });
}

/** a·b. */
export function triangleProduct(a: readonly Float64Array[], b: readonly Float64Array[]): Float64Array[] {
  return a.map((row, i) => {
    const out = new Float64Array(i + 1);
    for (let k = 0; k <= i; k++) {
      const factor = row[k];
      if (factor === 0) continue;
      const other = b[k];
      for (let j = 0; j <= k; j++) out[j] += factor * other[j];
    }
    return out;
  });
}

/** a·b/k + I: one step of Horner's scheme for a series of exp. */
export function hornerStep(
  a: readonly Float64Array[],
  b: readonly Float64Array[],
  k: number,
): Float64Array[] {
  const rows = triangleProduct(a, b);
  for (let i = 0; i < rows.length; i++) {
    const row = rows[i];
    for (let j = 0; j <= i; j++) row[j] /= k;
    row[i] += 1;
  }
  return rows;
}

/** Each column brought back to a sum of 1. */
export function withMassKept(rows: readonly Float64Array[]): Float64Array[] {
  const sums = new Float64Array(rows.length);
  for (const row of rows) for (let j = 0; j < row.length; j++) sums[j] += row[j];
  return rows.map((row) => row.map((v, j) => v / sums[j]));
}

/** Where the shares are after one step. */
export function triangleTimes(rows: readonly Float64Array[], shares: Float64Array): Float64Array {
  const out = new Float64Array(rows.length);
  for (let i = 0; i < rows.length; i++) {
    const row = rows[i];
    let sum = 0;
    for (let j = 0; j < row.length; j++) sum += row[j] * shares[j];
    out[i] = sum;
  }
  return out;
}
