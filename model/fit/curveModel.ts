/**
 * converged: no step lowers the misfit any more and the slopes tell every parameter apart.
 * several floors: so here, and at other parameters too, with a misfit that is the same within noise.
 * stalled: no step helps, but the slopes do not: a plateau. at bound: a parameter stands at the end of its range.
 */
export type FitStatus = "converged" | "several floors" | "stalled" | "iteration limit" | "at bound";

/** A model with its slopes: value and derivative by each parameter; what depends on the parameters alone is worked out once. */
export interface CurveModel {
  readonly value: (parameters: readonly number[]) => (x: number) => number;
  readonly slopes: (parameters: readonly number[]) => (x: number) => readonly number[];
}

/** The lowest and the highest value of each parameter. */
export interface Bounds {
  readonly lowest: readonly number[];
  readonly highest: readonly number[];
}

export interface FitProblem {
  readonly model: CurveModel;
  /** Where the model is asked. */
  readonly xs: readonly number[];
  /** What was measured there. */
  readonly ys: readonly number[];
  readonly bounds: Bounds;
}

export interface LeastSquares {
  readonly parameters: readonly number[];
  readonly sumOfSquares: number;
  readonly status: FitStatus;
  /** Rounds of the package's steps. */
  readonly iterations: number;
  /** (JᵀJ)⁻¹ · SSE/(N − parameters); null where the slopes do not tell the parameters apart. */
  readonly covariance: readonly (readonly number[])[] | null;
}
