import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { bisected } from "#distributions/bisection.ts";
import { countBelow } from "#distributions/kernels/sorted.ts";
import { cholesky, inverseFrom } from "#model/numbers/cholesky.ts";
import { inverseOfSquare, solveTriangle, triangles } from "#model/numbers/kernels/orthogonal.ts";
import { logDeterminant, solveWith } from "#model/numbers/kernels/symmetric.ts";
import { times as productWith, quadratic } from "#model/numbers/kernels/vectors.ts";
import { isFullRank } from "#model/numbers/qr.ts";

const tall = [
  [1, 2, -1],
  [3, -1, 2],
  [0, 1, 4],
  [-2, 5, 1],
  [1, 1, 1],
];
const right = [1, -2, 3, 0.5, 2];
const columns = [0, 1, 2].map((j) => Float64Array.from(tall, (row) => row[j] ?? 0));
const squareOf = (rows: readonly ArrayLike<number>[]) =>
  [0, 1, 2].map((a) =>
    [0, 1, 2].map((b) => rows.reduce((sum, row) => sum + (row[a] ?? 0) * (row[b] ?? 0), 0)),
  );
const times = (a: readonly ArrayLike<number>[], x: ArrayLike<number>) =>
  a.map((row) => Array.from(row).reduce((sum, v, i) => sum + v * (x[i] ?? 0), 0));
function expectNear(found: ArrayLike<number>, wanted: readonly number[], digits = 12) {
  expect(found.length).toBe(wanted.length);
  for (const [i, v] of Array.from(found).entries()) expect(v).toBeCloseTo(wanted[i] ?? Number.NaN, digits);
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

// The kernels against the formulas beside them, on random tall matrices.
describe("on any matrix of full rank", () => {
  // Whole eighths: products of these are exact, so that a singular matrix is seen as one.
  const value = fc.integer({ min: -80, max: 80 }).map((n) => n / 8);
  const problem = fc.integer({ min: 1, max: 5 }).chain((n) =>
    fc.record({
      columns: fc.array(fc.array(value, { minLength: n + 4, maxLength: n + 4 }), {
        minLength: n,
        maxLength: n,
      }),
      right: fc.array(value, { minLength: n + 4, maxLength: n + 4 }),
    }),
  );
  const product = (a: readonly ArrayLike<number>[], b: readonly ArrayLike<number>[]) =>
    a.map((x) => b.map((y) => Array.from(x).reduce((sum, v, i) => sum + v * (y[i] ?? 0), 0)));

  test("RᵀR = AᵀA and Rᵀ·(Qᵀb) = Aᵀb; L·Lᵀ = AᵀA where it has a triangle, which solves it", () =>
    fc.assert(
      fc.property(problem, ({ columns: lists, right: b }) => {
        const made = triangles(
          lists.map((column) => Float64Array.from(column)),
          Float64Array.from(b),
        );
        const square = product(lists, lists);
        const reached = lists.map((_, j) => Float64Array.from(made.triangle, (row) => row[j] ?? 0));
        for (const [i, row] of product(reached, reached).entries()) expectNear(row, square[i] ?? [], 9);
        expectNear(
          reached.map((column) => column.reduce((sum, v, i) => sum + v * (made.turned[i] ?? 0), 0)),
          product(lists, [b]).flat(),
          9,
        );
        const triangle = cholesky(square);
        if (triangle === null) return;
        const whole = triangle.map((row) =>
          Float64Array.from({ length: triangle.length }, (_, k) => row[k] ?? 0),
        );
        for (const [i, row] of product(whole, whole).entries()) expectNear(row, square[i] ?? [], 9);
        const x = solveWith(
          triangle,
          lists.map((_, i) => i + 1),
        );
        // What a solution is off by is of the size of the solution's own rounding.
        const size = Math.max(...x.map(Math.abs), 1) * 1e3;
        expectNear(
          times(square, x).map((v) => v / size),
          lists.map((_, i) => (i + 1) / size),
          9,
        );
      }),
      { numRuns: 200 },
    ));

  test("xᵀAx and A·x are the sums they stand for", () =>
    fc.assert(
      fc.property(problem, ({ columns: lists, right: b }) => {
        const square = product(lists, lists);
        const x = b.slice(0, square.length);
        const by = square.map((row) => row.reduce((sum, v, i) => sum + v * (x[i] ?? 0), 0));
        expectNear(productWith(square, x), by, 9);
        expect(quadratic(square, x)).toBeCloseTo(
          x.reduce((sum, v, i) => sum + v * (by[i] ?? 0), 0),
          6,
        );
      }),
    ));
});

describe("a rising list", () => {
  const rising = fc
    .array(fc.integer({ min: 0, max: 30 }), { maxLength: 40 })
    .map((l) => l.sort((a, b) => a - b));
  test("how many lie below a value, or at it and below, is what counting gives", () =>
    fc.assert(
      fc.property(rising, fc.integer({ min: -1, max: 31 }), (list, x) => {
        expect(countBelow(list, x)).toBe(list.filter((v) => v < x).length);
        expect(countBelow(list, x, true)).toBe(list.filter((v) => v <= x).length);
      }),
    ));
  test("where a condition ends is found to the last bits", () =>
    fc.assert(
      fc.property(fc.double({ min: 1e-6, max: 1, noNaN: true }), (end) => {
        expect(bisected(0, 2, 0, (x) => x < end)).toBeCloseTo(end, 15);
        expect(Math.abs(bisected(0, 2, 1e-3, (x) => x < end) - end)).toBeLessThan(1e-3);
      }),
    ));
});
