import { Matrix, QrDecomposition } from "ml-matrix";
import type { Bounds, CurveModel, FitStatus, LeastSquares } from "./leastSquares.ts";

const stepLimit = 1000;
/** Share of the residual that a step could still explain: below it the floor is reached. */
const offsetTolerance = 1e-10;
/** Below this ratio of the diagonal of R the columns are the same to rounding. */
const rankTolerance = 1e-13;

/**
 * Least squares by damped Gauss–Newton steps, each solved by orthogonal triangles (QR) so that digits are not squared away.
 * Stops when a full step would explain less than 1e-10 of what is left, or nothing beyond rounding.
 */
export function dampedWalk(
  model: CurveModel,
  xs: readonly number[],
  ys: readonly number[],
  start: readonly number[],
  bounds: Bounds,
): LeastSquares {
  const residualsAt = (p: readonly number[]) => xs.map((x, i) => (ys[i] ?? 0) - model.value(p, x));
  const rounding = 4 * Number.EPSILON * length(ys);
  let parameters = start.map((v, i) => clamped(v, i, bounds));
  let residuals = residualsAt(parameters);
  let error = squares(residuals);
  let damping = 1e-2;
  let status: FitStatus = "iteration limit";
  let iterations = 0;
  for (; iterations < stepLimit; iterations++) {
    const slopes = xs.map((x) => model.slopes(parameters, x));
    const free = freeParameters(parameters, slopes, residuals, bounds);
    const scale = free.map((j) => length(slopes.map((row) => row[j] ?? 0)));
    const full = solved(slopes, free, scale, residuals, 0);
    if (free.length === 0) {
      status = "at bound";
      break;
    }
    if (full !== null && full.explained <= Math.max(offsetTolerance * Math.sqrt(error), rounding)) {
      status = free.length < parameters.length ? "at bound" : "converged";
      break;
    }
    const before = error;
    for (let tries = 0; tries < 60; tries++) {
      const step = damping === 0 ? full : solved(slopes, free, scale, residuals, damping);
      if (step !== null) {
        const next = moved(parameters, free, step.step, bounds);
        const nextResiduals = residualsAt(next);
        const nextError = squares(nextResiduals);
        if (nextError < error) {
          parameters = next;
          residuals = nextResiduals;
          error = nextError;
          damping = damping < 1e-10 ? 0 : damping / 10;
          break;
        }
      }
      damping = damping === 0 ? 1e-8 : damping * 4;
    }
    if (error < before) continue;
    // Nothing lowers it: the floor where only rounding is left to explain, else a plateau.
    const isFloor = full !== null && full.explained <= Math.max(1e-6 * Math.sqrt(error), 100 * rounding);
    status = isFloor ? (free.length < parameters.length ? "at bound" : "converged") : "stalled";
    break;
  }
  return {
    parameters,
    sumOfSquares: error,
    status,
    iterations,
    covariance: status === "converged" ? covarianceAt(model, xs, parameters, error) : null,
  };
}

/** Those not held at a bound by the slope of the misfit. */
function freeParameters(
  parameters: readonly number[],
  slopes: readonly (readonly number[])[],
  residuals: readonly number[],
  { lowest, highest }: Bounds,
): number[] {
  return parameters.flatMap((v, j) => {
    const pull = slopes.reduce((sum, row, i) => sum + (row[j] ?? 0) * (residuals[i] ?? 0), 0);
    const isHeld =
      (v <= (lowest[j] ?? Number.NEGATIVE_INFINITY) && pull <= 0) ||
      (v >= (highest[j] ?? Number.POSITIVE_INFINITY) && pull >= 0);
    return isHeld ? [] : [j];
  });
}

/** The (damped) Gauss–Newton step in the free parameters, and how much of the residual it explains; null where the columns do not differ. */
function solved(
  slopes: readonly (readonly number[])[],
  free: readonly number[],
  scale: readonly number[],
  residuals: readonly number[],
  damping: number,
): { readonly step: readonly number[]; readonly explained: number } | null {
  if (free.length === 0) return null;
  const rows = slopes.map((row) => free.map((j, k) => safe((row[j] ?? 0) / (scale[k] || 1))));
  const right = [...residuals];
  if (damping > 0) {
    for (const k of free.keys()) {
      rows.push(free.map((_, other) => (other === k ? Math.sqrt(damping) : 0)));
      right.push(0);
    }
  }
  const qr = new QrDecomposition(new Matrix(rows));
  if (!isFullRank(qr)) return null;
  const scaled = qr.solve(Matrix.columnVector(right)).to1DArray();
  const explained = length(rows.map((row) => row.reduce((sum, v, k) => sum + v * (scaled[k] ?? 0), 0)));
  return { step: scaled.map((v, k) => v / (scale[k] || 1)), explained };
}

function isFullRank(qr: QrDecomposition): boolean {
  const diagonal = qr.upperTriangularMatrix.diagonal().map(Math.abs);
  return Math.min(...diagonal) > rankTolerance * Math.max(...diagonal);
}

function covarianceAt(
  model: CurveModel,
  xs: readonly number[],
  parameters: readonly number[],
  error: number,
): number[][] | null {
  const freedom = xs.length - parameters.length;
  if (freedom <= 0) return null;
  const slopes = xs.map((x) => model.slopes(parameters, x));
  const scale = parameters.map((_, j) => length(slopes.map((row) => row[j] ?? 0)) || 1);
  const qr = new QrDecomposition(
    new Matrix(slopes.map((row) => row.map((v, j) => safe(v / (scale[j] ?? 1))))),
  );
  if (!isFullRank(qr)) return null;
  const triangle = new QrDecomposition(qr.upperTriangularMatrix).solve(Matrix.eye(parameters.length));
  const inverse = triangle.mmul(triangle.transpose()).to2DArray();
  return inverse.map((row, i) =>
    row.map((v, j) => ((v / (scale[i] ?? 1)) * (error / freedom)) / (scale[j] ?? 1)),
  );
}

function moved(
  parameters: readonly number[],
  free: readonly number[],
  step: readonly number[],
  bounds: Bounds,
): number[] {
  const next = [...parameters];
  for (const [k, j] of free.entries()) next[j] = clamped((parameters[j] ?? 0) + (step[k] ?? 0), j, bounds);
  return next;
}

function clamped(value: number, j: number, { lowest, highest }: Bounds): number {
  return Math.min(Math.max(value, lowest[j] ?? value), highest[j] ?? value);
}

const safe = (value: number) => (Number.isFinite(value) ? value : 0);
const squares = (values: readonly number[]) => values.reduce((sum, v) => sum + v * v, 0);
const length = (values: readonly number[]) => Math.sqrt(squares(values));
