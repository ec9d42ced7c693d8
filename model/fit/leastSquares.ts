import { levenbergMarquardt } from "ml-levenberg-marquardt";

export type FitStatus = "converged" | "stalled" | "iteration limit" | "at bound";

/** A model with its slopes: value and derivative by each parameter at one x. */
export interface CurveModel {
  readonly value: (parameters: readonly number[], x: number) => number;
  readonly slopes: (parameters: readonly number[], x: number) => readonly number[];
}

export interface LeastSquares {
  readonly parameters: readonly number[];
  readonly sumOfSquares: number;
  readonly status: FitStatus;
  readonly iterations: number;
  /** (JᵀJ)⁻¹ · SSE/(N − parameters); null where it cannot be had. */
  readonly covariance: readonly (readonly number[])[] | null;
}

const polishLimit = 60;
const stepTolerance = 1e-12;

/**
 * Unweighted least squares. The package finds the valley; Gauss–Newton steps of our own walk to its floor and say
 * whether it was reached, since the package reports neither convergence nor covariance.
 *
 * @param start   a start value for each parameter
 * @param bounds  lowest and highest value of each parameter
 */
export function leastSquares(
  model: CurveModel,
  xs: readonly number[],
  ys: readonly number[],
  start: readonly number[],
  bounds: { readonly lowest: readonly number[]; readonly highest: readonly number[] },
): LeastSquares {
  const found = levenbergMarquardt(
    { x: [...xs], y: [...ys] },
    (parameters) => (x) => model.value(parameters, x),
    {
      initialValues: [...start],
      minValues: [...bounds.lowest],
      maxValues: [...bounds.highest],
      jacobianFunction: (parameters: number[]) => (x: number) => [...model.slopes(parameters, x)],
      damping: 1e-3,
      errorTolerance: 1e-20,
      maxIterations: 100,
    },
  );
  return polished(model, xs, ys, found.parameterValues, found.iterations, bounds);
}

/** Gauss–Newton with halving from a point near the optimum, until the step no longer matters. */
function polished(
  model: CurveModel,
  xs: readonly number[],
  ys: readonly number[],
  from: readonly number[],
  iterationsBefore: number,
  bounds: { readonly lowest: readonly number[]; readonly highest: readonly number[] },
): LeastSquares {
  const errorAt = (p: readonly number[]) =>
    xs.reduce((sum, x, i) => sum + ((ys[i] ?? 0) - model.value(p, x)) ** 2, 0);
  let parameters = [...from];
  let error = errorAt(parameters);
  let status: FitStatus = "iteration limit";
  let step = 0;
  for (; step < polishLimit; step++) {
    const { normal, gradient } = normalEquations(model, xs, ys, parameters);
    const direction = solve(normal, gradient);
    if (direction === null) {
      status = "stalled";
      break;
    }
    const size = Math.max(...direction.map((d, i) => Math.abs(d) / (Math.abs(parameters[i] ?? 0) + 1)));
    if (size < stepTolerance) {
      status = "converged";
      break;
    }
    let damping = 1;
    let next = moved(parameters, direction, damping, bounds);
    let nextError = errorAt(next);
    while (nextError > error && damping > 1e-6) {
      damping /= 2;
      next = moved(parameters, direction, damping, bounds);
      nextError = errorAt(next);
    }
    if (nextError > error || next.every((v, i) => v === parameters[i])) {
      // No step lowers the error any more: the floor, unless the step asked for was still a large one.
      status = size < 1e-7 ? "converged" : "stalled";
      break;
    }
    parameters = next;
    error = nextError;
  }
  const isAtBound = parameters.some(
    (v, i) => v <= (bounds.lowest[i] ?? v - 1) || v >= (bounds.highest[i] ?? v + 1),
  );
  return {
    parameters,
    sumOfSquares: error,
    status: isAtBound ? "at bound" : status,
    iterations: iterationsBefore + step,
    covariance: isAtBound ? null : covarianceAt(model, xs, ys, parameters, error),
  };
}

function moved(
  parameters: readonly number[],
  direction: readonly number[],
  damping: number,
  bounds: { readonly lowest: readonly number[]; readonly highest: readonly number[] },
): number[] {
  return parameters.map((v, i) => {
    const wanted = v + damping * (direction[i] ?? 0);
    return Math.min(Math.max(wanted, bounds.lowest[i] ?? wanted), bounds.highest[i] ?? wanted);
  });
}

function normalEquations(
  model: CurveModel,
  xs: readonly number[],
  ys: readonly number[],
  p: readonly number[],
) {
  const normal = p.map(() => p.map(() => 0));
  const gradient = p.map(() => 0);
  for (const [i, x] of xs.entries()) {
    const slopes = model.slopes(p, x);
    const residual = (ys[i] ?? 0) - model.value(p, x);
    for (const [a, row] of normal.entries()) {
      const slope = slopes[a] ?? 0;
      gradient[a] = (gradient[a] ?? 0) + slope * residual;
      for (const b of row.keys()) row[b] = (row[b] ?? 0) + slope * (slopes[b] ?? 0);
    }
  }
  return { normal, gradient };
}

function covarianceAt(
  model: CurveModel,
  xs: readonly number[],
  ys: readonly number[],
  p: readonly number[],
  error: number,
) {
  const freedom = xs.length - p.length;
  if (freedom <= 0) return null;
  const { normal } = normalEquations(model, xs, ys, p);
  const columns = p.map((_, i) =>
    solve(
      normal,
      p.map((_, j) => (i === j ? 1 : 0)),
    ),
  );
  const inverse: number[][] = [];
  for (const column of columns) {
    if (column === null) return null;
    inverse.push(column.map((v) => (v * error) / freedom));
  }
  return inverse;
}

/** Solves a small symmetric system by elimination with pivoting; null where it is singular. */
function solve(matrix: readonly (readonly number[])[], right: readonly number[]): number[] | null {
  const rows = matrix.map((row, i) => [...row, right[i] ?? 0]);
  const n = rows.length;
  for (let column = 0; column < n; column++) {
    let best = column;
    for (let r = column + 1; r < n; r++) {
      if (Math.abs(rows[r]?.[column] ?? 0) > Math.abs(rows[best]?.[column] ?? 0)) best = r;
    }
    const pivotRow = rows[best];
    const here = rows[column];
    if (pivotRow === undefined || here === undefined) return null;
    rows[best] = here;
    rows[column] = pivotRow;
    const pivot = pivotRow[column] ?? 0;
    if (!(Math.abs(pivot) > 1e-300)) return null;
    for (const [r, row] of rows.entries()) {
      if (r === column) continue;
      const factor = (row[column] ?? 0) / pivot;
      for (let c = column; c <= n; c++) row[c] = (row[c] ?? 0) - factor * (pivotRow[c] ?? 0);
    }
  }
  const solution = rows.map((row, i) => (row[n] ?? 0) / (row[i] ?? 1));
  return solution.every(Number.isFinite) ? solution : null;
}
