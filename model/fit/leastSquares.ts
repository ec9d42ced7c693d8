import { levenbergMarquardt } from "ml-levenberg-marquardt";
import { cholesky, inverseFrom, solveWith } from "./cholesky.ts";

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
    const triangle = cholesky(normal);
    if (triangle === null) {
      status = "stalled";
      break;
    }
    const direction = solveWith(triangle, gradient);
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
  const triangle = cholesky(normal);
  if (triangle === null) return null;
  return inverseFrom(triangle).map((row) => row.map((v) => (v * error) / freedom));
}
