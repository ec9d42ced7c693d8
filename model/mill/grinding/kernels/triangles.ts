/**
 * Products of lower triangles, which move powder from coarser classes to finer ones: rows[i][j], j ≤ i.
 */

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
