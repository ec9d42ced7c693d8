import { describe, expect, test } from "vitest";
import type { CurveModel } from "#model/fit/curveModel.ts";
import { leastSquares, leastSquaresFromSeveral, leastSquaresSteps } from "#model/fit/leastSquares.ts";
import { answerOf } from "#model/numbers/pausing.ts";

const wide = { lowest: [-1e9, -1e9], highest: [1e9, 1e9] };
/** y = a + b·x: its least squares stand in every textbook. */
const line: CurveModel = {
  value:
    ([a = 0, b = 0]) =>
    (x) =>
      a + b * x,
  slopes: () => (x) => [1, x],
};
const xs = [1, 2, 3, 4, 5];
const ys = [1.1, 1.9, 3.2, 3.8, 5.1];

describe("a straight line", () => {
  test("slope, intercept, misfit and errors are the textbook's (worked by hand)", () => {
    // x̄ = 3, ȳ = 3.02, Sxx = 10, Sxy = 9.9; residual sum = Syy − Sxy²/Sxx = 9.908 − 9.801 = 0.107.
    const found = leastSquares({ model: line, xs: xs, ys, bounds: wide }, [0, 0]);
    expect(found.status).toBe("converged");
    expect(found.parameters[1]).toBeCloseTo(0.99, 9);
    expect(found.parameters[0]).toBeCloseTo(0.05, 8);
    expect(found.sumOfSquares).toBeCloseTo(0.107, 12);
    expect(found.iterations).toBeLessThanOrEqual(8);
    // var b = s²/Sxx, var a = s²(1/n + x̄²/Sxx), cov = −x̄ s²/Sxx with s² = 0.107/3.
    const s2 = 0.107 / 3;
    expect(found.covariance?.[1]?.[1]).toBeCloseTo(s2 / 10, 10);
    expect(found.covariance?.[0]?.[0]).toBeCloseTo(s2 * (0.2 + 0.9), 10);
    expect(found.covariance?.[0]?.[1]).toBeCloseTo((-3 * s2) / 10, 10);
    expect(found.covariance?.[1]?.[0]).toBeCloseTo((-3 * s2) / 10, 10);
  });
  test("as many points as parameters leave no error to state", () => {
    const found = leastSquares({ model: line, xs: [1, 3], ys: [2, 8], bounds: wide }, [0, 0]);
    expect(found.parameters[1]).toBeCloseTo(3, 9);
    expect(found.covariance).toBeNull();
  });
  test("a bound that the floor lies beyond is kept, and the rest is fitted along it", () => {
    // With the slope held at 0.5 the best intercept is ȳ − 0.5 x̄ = 1.52; at 2 it is −2.98.
    const low = leastSquares(
      { model: line, xs: xs, ys, bounds: { lowest: [-9, -9], highest: [9, 0.5] } },
      [0, 0],
    );
    expect(low.status).toBe("at bound");
    expect(low.parameters[1]).toBe(0.5);
    expect(low.parameters[0]).toBeCloseTo(1.52, 8);
    expect(low.covariance).toBeNull();
    const high = leastSquares(
      { model: line, xs: xs, ys, bounds: { lowest: [-9, 2], highest: [9, 9] } },
      [0, 3],
    );
    expect(high.status).toBe("at bound");
    expect(high.parameters[1]).toBe(2);
    expect(high.parameters[0]).toBeCloseTo(-2.98, 8);
  });
  test("a start on a bound that the slope leads away from moves off it", () => {
    const found = leastSquares(
      { model: line, xs: xs, ys, bounds: { lowest: [-9, 0.2], highest: [9, 9] } },
      [0, 0.2],
    );
    expect(found.status).toBe("converged");
    expect(found.parameters[1]).toBeCloseTo(0.99, 9);
  });
  test("every parameter held at its bound is said", () => {
    const found = leastSquares(
      { model: line, xs: xs, ys, bounds: { lowest: [-2, -2], highest: [-1, -1] } },
      [-1, -1],
    );
    expect(found.status).toBe("at bound");
    expect(found.parameters).toEqual([-1, -1]);
    expect(found.iterations).toBe(0);
  });
  test("a start outside the bounds is brought inside", () => {
    const found = leastSquares(
      { model: line, xs: xs, ys, bounds: { lowest: [0, 0], highest: [4, 4] } },
      [50, -50],
    );
    expect(found.parameters[1]).toBeCloseTo(0.99, 8);
  });
  test("no more rounds than allowed", () => {
    const found = answerOf(leastSquaresSteps({ model: line, xs, ys, bounds: wide }, [500, -300], 0));
    expect(found.status).toBe("iteration limit");
    expect(found.iterations).toBe(0);
  });
  test("parameters that no point tells apart are no floor", () => {
    const same: CurveModel = {
      value:
        ([a = 0, b = 0]) =>
        () =>
          a + b,
      slopes: () => () => [1, 1],
    };
    const found = leastSquares({ model: same, xs: xs, ys, bounds: wide }, [0, 0]);
    expect(found.status).toBe("stalled");
    expect(found.covariance).toBeNull();
    expect((found.parameters[0] ?? 0) + (found.parameters[1] ?? 0)).toBeCloseTo(3.02, 6);
  });
});

describe("several starts", () => {
  /** (x − p²)…: two floors, at p = ±√2, and a flat top between them at 0. */
  const humped: CurveModel = {
    value:
      ([p = 0]) =>
      (x) =>
        x * (p * p - 2) + 0.1 * p,
    slopes:
      ([p = 0]) =>
      (x) => [2 * p * x + 0.1],
  };
  const one = { lowest: [-9], highest: [9] };
  const zero = xs.map(() => 0);
  test("the lowest of several valleys is taken, whichever comes first", () => {
    const near = (start: number) => leastSquares({ model: humped, xs, ys: zero, bounds: one }, [start]);
    const sums = [near(-1.5).sumOfSquares, near(1.5).sumOfSquares];
    const lowest = Math.min(...sums);
    for (const starts of [
      [[-1.5], [1.5]],
      [[1.5], [-1.5]],
    ])
      expect(
        leastSquaresFromSeveral({ model: humped, xs, ys: zero, bounds: one }, starts).sumOfSquares,
      ).toBeCloseTo(lowest, 12);
  });
  test("no start is a fault of the caller", () =>
    expect(() => leastSquaresFromSeveral({ model: humped, xs, ys: zero, bounds: one }, [])).toThrow(
      RangeError,
    ));
  test("the line again, with its rounds counted", () => {
    const found = leastSquares({ model: line, xs, ys, bounds: wide }, [0, 0]);
    expect(found.status).toBe("converged");
    expect(found.parameters[1]).toBeCloseTo(0.99, 9);
    expect(found.iterations).toBeGreaterThan(0);
  });
  test("a model whose slopes vanish at the start stays there and does not say converged", () => {
    const flat: CurveModel = { value: () => () => 1, slopes: () => () => [0, 0] };
    const found = leastSquares({ model: flat, xs, ys, bounds: wide }, [2, 3]);
    expect(found.parameters).toEqual([2, 3]);
    expect(found.status).toBe("stalled");
  });
});
