import { describe, expect, test } from "vitest";
import { cholesky, inverseFrom, logDeterminant, solveWith } from "#model/numbers/cholesky.ts";
import { damped, inverseOfSquare, isFullRank, solveTriangle, triangles } from "#model/numbers/qr.ts";

const tall = [
  [1, 2, -1],
  [3, -1, 2],
  [0, 1, 4],
  [-2, 5, 1],
  [1, 1, 1],
];
const right = [1, -2, 3, 0.5, 2];
const columns = [0, 1, 2].map((j) => Float64Array.from(tall, (row) => row[j] ?? 0));
const squareOf = (rows: readonly (readonly number[])[]) =>
  [0, 1, 2].map((a) =>
    [0, 1, 2].map((b) => rows.reduce((sum, row) => sum + (row[a] ?? 0) * (row[b] ?? 0), 0)),
  );
const times = (a: readonly (readonly number[])[], x: readonly number[]) =>
  a.map((row) => row.reduce((sum, v, i) => sum + v * (x[i] ?? 0), 0));
function expectNear(found: readonly number[], wanted: readonly number[], digits = 12) {
  expect(found.length).toBe(wanted.length);
  for (const [i, v] of found.entries()) expect(v).toBeCloseTo(wanted[i] ?? Number.NaN, digits);
}
const identity = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];

// Every expected value here is an identity of linear algebra.
describe("orthogonal triangles", () => {
  const solved = triangles(columns, Float64Array.from(right));
  test("RᵀR is AᵀA, and R is upper", () => {
    for (const [i, row] of squareOf(solved.triangle).entries()) expectNear(row, squareOf(tall)[i] ?? []);
    for (const [i, row] of solved.triangle.entries())
      expect(row.slice(0, i).every((v) => v === 0)).toBe(true);
  });
  test("the solution leaves a residual that no column reaches", () => {
    const x = solveTriangle(solved.triangle, solved.turned);
    const residual = right.map((b, i) => b - (times(tall, x)[i] ?? 0));
    expectNear(
      times(
        columns.map((c) => [...c]),
        residual,
      ),
      [0, 0, 0],
    );
  });
  test("the turned part is as long as what the columns explain", () => {
    const x = solveTriangle(solved.triangle, solved.turned);
    const explained = Math.hypot(...times(tall, x));
    expect(Math.hypot(...solved.turned)).toBeCloseTo(explained, 12);
    expect(solved.turned.length).toBe(3);
  });
  test("(RᵀR)⁻¹ times AᵀA is the identity", () => {
    const inverse = inverseOfSquare(solved.triangle);
    for (const [i, row] of inverse.entries()) expectNear(times(squareOf(tall), row), identity[i] ?? []);
  });
  test("damping λ solves (AᵀA + λI)x = Aᵀb", () => {
    const more = damped(solved, 0.7);
    const x = solveTriangle(more.triangle, more.turned);
    const left = times(squareOf(tall), x).map((v, i) => v + 0.7 * (x[i] ?? 0));
    expectNear(
      left,
      times(
        columns.map((c) => [...c]),
        right,
      ),
    );
  });
  test("a column that repeats another is told, and one of zeros", () => {
    const [a = new Float64Array(), b = new Float64Array()] = columns;
    const at = (list: Float64Array[]) => isFullRank(triangles(list, Float64Array.from(right)).triangle);
    expect(at([a, b])).toBe(true);
    expect(at([a, b, a])).toBe(false);
    expect(at([a, new Float64Array(5), b])).toBe(false);
    expect(at([a, a.map((v, i) => v * (1 + 1e-9 * i))])).toBe(true);
  });
});

describe("the triangle of a symmetric positive matrix", () => {
  const matrix = squareOf(tall);
  const lower = cholesky(matrix) ?? [];
  test("L·Lᵀ is the matrix", () => {
    for (const [i, row] of lower.entries())
      expectNear(
        lower.map((other) => row.reduce((sum, v, k) => sum + v * (other[k] ?? 0), 0)),
        matrix[i] ?? [],
      );
  });
  test("it solves, inverts and measures", () => {
    expectNear(times(matrix, solveWith(lower, [1, -2, 3])), [1, -2, 3]);
    for (const [i, row] of inverseFrom(lower).entries()) expectNear(times(matrix, row), identity[i] ?? []);
    // Worked by hand: |diag(4, 9)| = 36.
    expect(
      logDeterminant(
        cholesky([
          [4, 0],
          [0, 9],
        ]) ?? [],
      ),
    ).toBeCloseTo(Math.log(36), 14);
  });
  test("a matrix that is not positive has none", () => {
    expect(
      cholesky([
        [1, 2],
        [2, 1],
      ]),
    ).toBeNull();
    expect(cholesky([[0]])).toBeNull();
  });
});
