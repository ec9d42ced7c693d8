import type { Steps } from "#model/numbers/pausing.ts";
import {
  damped,
  inverseOfSquare,
  isFullRank,
  solveTriangle,
  type Triangles,
  triangles,
} from "#model/numbers/qr.ts";
import type { Bounds, CurveModel, FitStatus, LeastSquares } from "./curveModel.ts";

/** Share of the residual that a step could still explain: below it the floor is reached. */
const offsetTolerance = 1e-10;

/**
 * Least squares by damped Gauss–Newton steps, each solved by orthogonal triangles (QR) so that digits are not squared away.
 * Stops when a full step would explain less than 1e-10 of what is left, or nothing beyond rounding. Pauses after each step.
 *
 * @param stepLimit  how many steps at most; a short walk tells one valley from another
 */
export function* dampedWalk(
  model: CurveModel,
  xs: readonly number[],
  ys: readonly number[],
  start: readonly number[],
  bounds: Bounds,
  stepLimit = 1000,
): Steps<LeastSquares> {
  const residualsAt = (p: readonly number[]) => {
    const value = model.value(p);
    return Float64Array.from(xs, (x, i) => (ys[i] ?? 0) - value(x));
  };
  const rounding = 4 * Number.EPSILON * length(ys);
  let parameters = start.map((v, i) => clamped(v, i, bounds));
  let residuals = residualsAt(parameters);
  let error = squares(residuals);
  let damping = 1e-2;
  let status: FitStatus = "iteration limit";
  let iterations = 0;
  for (; iterations < stepLimit; iterations++) {
    const slopes = slopeColumns(model, xs, parameters);
    const free = freeParameters(parameters, slopes, residuals, bounds);
    if (free.length === 0) {
      status = "at bound";
      break;
    }
    const floor: FitStatus = free.length < parameters.length ? "at bound" : "converged";
    const scale = free.map((j) => length(slopes[j] ?? []) || 1);
    const solved = triangles(
      free.map((j, k) => (slopes[j] ?? new Float64Array()).map((v) => v / (scale[k] ?? 1))),
      residuals,
    );
    const isTold = isFullRank(solved.triangle);
    const explained = length(solved.turned);
    if (isTold && explained <= Math.max(offsetTolerance * Math.sqrt(error), rounding)) {
      status = floor;
      break;
    }
    const before = error;
    for (let tries = 0; tries < 60 && error === before; tries++) {
      const step = stepOf(solved, damping, isTold);
      if (step !== null) {
        const next = moved(parameters, free, step, scale, bounds);
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
    yield;
    if (error < before) continue;
    // Nothing lowers it: the floor where only rounding is left to explain, else a plateau.
    const isFloor = isTold && explained <= Math.max(1e-6 * Math.sqrt(error), 100 * rounding);
    status = isFloor ? floor : "stalled";
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

function slopeColumns(
  model: CurveModel,
  xs: readonly number[],
  parameters: readonly number[],
): Float64Array[] {
  const columns = parameters.map(() => new Float64Array(xs.length));
  const slopesAt = model.slopes(parameters);
  for (const [i, x] of xs.entries()) {
    const row = slopesAt(x);
    for (const [j, column] of columns.entries()) {
      const slope = row[j] ?? 0;
      column[i] = Number.isFinite(slope) ? slope : 0;
    }
  }
  return columns;
}

/** Those that a step against the slope of the misfit would move: the others are held at a bound. */
function freeParameters(
  parameters: readonly number[],
  slopes: readonly Float64Array[],
  residuals: Float64Array,
  bounds: Bounds,
): number[] {
  return parameters.flatMap((v, j) => {
    const pull = (slopes[j] ?? new Float64Array()).reduce((sum, s, i) => sum + s * (residuals[i] ?? 0), 0);
    const isHeld = pull !== 0 && clamped(v + Math.sign(pull), j, bounds) === v;
    return isHeld ? [] : [j];
  });
}

/** The (damped) Gauss–Newton step in scaled parameters; null where the columns do not differ and nothing damps. */
function stepOf(solved: Triangles, damping: number, isTold: boolean): number[] | null {
  if (damping === 0) return isTold ? solveTriangle(solved.triangle, solved.turned) : null;
  const { triangle, turned } = damped(solved, damping);
  return solveTriangle(triangle, turned);
}

function covarianceAt(
  model: CurveModel,
  xs: readonly number[],
  parameters: readonly number[],
  error: number,
): number[][] | null {
  const freedom = xs.length - parameters.length;
  if (freedom <= 0) return null;
  const slopes = slopeColumns(model, xs, parameters);
  const scale = slopes.map((column) => length(column) || 1);
  const { triangle } = triangles(
    slopes.map((column, j) => column.map((v) => v / (scale[j] ?? 1))),
    new Float64Array(xs.length),
  );
  if (!isFullRank(triangle)) return null;
  return inverseOfSquare(triangle).map((row, i) =>
    row.map((v, j) => ((v / (scale[i] ?? 1)) * (error / freedom)) / (scale[j] ?? 1)),
  );
}

function moved(
  parameters: readonly number[],
  free: readonly number[],
  step: readonly number[],
  scale: readonly number[],
  bounds: Bounds,
): number[] {
  const next = [...parameters];
  for (const [k, j] of free.entries())
    next[j] = clamped((parameters[j] ?? 0) + (step[k] ?? 0) / (scale[k] ?? 1), j, bounds);
  return next;
}

function clamped(value: number, j: number, { lowest, highest }: Bounds): number {
  return Math.min(Math.max(value, lowest[j] ?? value), highest[j] ?? value);
}

function squares(values: Float64Array | readonly number[]): number {
  let sum = 0;
  for (const v of values) sum += v * v;
  return sum;
}

function length(values: Float64Array | readonly number[]): number {
  return Math.sqrt(squares(values));
}
