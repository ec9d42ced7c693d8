/** Σ aᵢ·bᵢ; two lists of one length. */
export function dot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}

/** A·x; A by rows. */
export function times(matrix: readonly ArrayLike<number>[], vector: ArrayLike<number>): Float64Array {
  return Float64Array.from(matrix, (row) => dot(row, vector));
}

/** xᵀ·A·x; A by rows. */
export function quadratic(matrix: readonly ArrayLike<number>[], vector: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < vector.length; i++) sum += vector[i] * dot(matrix[i], vector);
  return sum;
}

/** √(Σ aᵢ²). */
export function lengthOf(a: ArrayLike<number>): number {
  return Math.sqrt(dot(a, a));
}

/** A value at its place. */
export function at(values: ArrayLike<number>): (i: number) => number {
  return (i) => values[i];
}
