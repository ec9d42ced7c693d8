import {
  inverseOfSquare,
  solveTriangle,
  type Triangles,
  triangles,
} from "#model/numbers/kernels/orthogonal.ts";
import { dot, lengthOf } from "#model/numbers/kernels/vectors.ts";
import { isFullRank } from "#model/numbers/qr.ts";
import type { FitProblem } from "./curveModel.ts";
import {
  chosen,
  clamped,
  freeOf,
  inOwnUnits,
  longer,
  movedBy,
  residualsOf,
  unitColumns,
} from "./kernels/residuals.ts";

/** The misfits of two fits this near to each other are the same to rounding. */
const misfitRounding = 1e-14;

/** A fit where it stands: r = y − f(p), and the slopes that say where p should go. */
export interface Linearised {
  readonly parameters: readonly number[];
  readonly residuals: Float64Array;
  readonly sumOfSquares: number;
  /** ∂f/∂p as columns of length 1, and the length that each had. */
  readonly columns: readonly Float64Array[];
  readonly lengths: Float64Array;
  /** The longest that each has been on the way here, after Moré (1978): where a slope dies away its parameter is held back. */
  readonly longest: Float64Array;
  /** Places of the parameters that no bound holds. */
  readonly free: readonly number[];
  /** Q·R of the free columns, with Qᵀr. */
  readonly solved: Triangles;
  /** Whether the free columns tell their parameters apart. */
  readonly isToldApart: boolean;
  /** ‖Qᵀr‖: how much of the residuals the slopes can still explain. */
  readonly explained: number;
}

/**
 * The fit at some parameters, brought between the bounds.
 *
 * @param from  where it stood before
 * @returns     null unless the misfit is lower than there, or the same within rounding
 */
export function linearised(
  { model, xs, ys, bounds: { lowest, highest } }: FitProblem,
  wanted: readonly number[],
  from: Linearised | null,
): Linearised | null {
  const parameters = clamped(wanted, lowest, highest);
  const residuals = residualsOf(model.value(parameters), xs, ys);
  const sumOfSquares = dot(residuals, residuals);
  if (!(sumOfSquares <= (from?.sumOfSquares ?? Number.MAX_VALUE) * (1 + misfitRounding))) return null;
  const { columns, lengths } = unitColumns(model.slopes(parameters), xs, parameters.length);
  const pulls = columns.map((column) => dot(column, residuals));
  const free = freeOf(parameters, pulls, lowest, highest);
  const solved = triangles(chosen(columns, free), residuals);
  return {
    parameters,
    residuals,
    sumOfSquares,
    columns,
    lengths,
    longest: from === null ? lengths : longer(lengths, from.longest),
    free,
    solved,
    isToldApart: isFullRank(solved.triangle),
    explained: lengthOf(solved.turned),
  };
}

/** The Gauss–Newton step: R·(lengths·Δp) = Qᵀr. */
export function fullStep({ parameters, free, solved, lengths }: Linearised): number[] {
  return movedBy(parameters, free, solveTriangle(solved.triangle, solved.turned), lengths);
}

/** (JᵀJ)⁻¹ · SSE/(N − parameters); null where no degree of freedom is left or the slopes do not tell the parameters apart. */
export function covarianceAt({ columns, lengths, residuals, sumOfSquares }: Linearised): number[][] | null {
  const freedom = residuals.length - columns.length;
  if (freedom <= 0) return null;
  const { triangle } = triangles(columns, residuals);
  return isFullRank(triangle) ? inOwnUnits(inverseOfSquare(triangle), lengths, sumOfSquares / freedom) : null;
}
