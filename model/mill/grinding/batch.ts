import { DomainError } from "#distributions/domainError.ts";
import type { Kernel } from "./kernel.ts";
import {
  hornerStep,
  identityTriangle,
  shiftedBalance,
  triangleProduct,
  triangleTimes,
  withMassKept,
} from "./kernels/triangles.ts";

/** What becomes of a unit of each class within one time step: column j holds where class j's mass then is; falling sizes. */
export interface Propagator {
  readonly size: number;
  /** Lower triangle, row by row: rows[i][j], j ≤ i. */
  readonly rows: readonly Float64Array[];
}

/**
 * The exact propagator exp(A·t) of the batch balance dw/dt = A·w: what each class has lost and the finer ones received.
 * Every rate is shifted to be non-negative, so that its series adds and never cancels; short steps are then squared,
 * and each column is brought back to a sum of 1.
 *
 * @param timeS  zero or more
 * @throws DomainError  another time
 * Accuracy: 1e-9 against the exact solution R0·exp(−k·x^α·t) on any grid; mass 1e-14 (docs/validation.md).
 * Source: uniformisation and scaling and squaring (textbook).
 */
export function propagatorOf({ losing, landing }: Kernel, timeS: number): Propagator {
  if (!(timeS >= 0 && Number.isFinite(timeS))) throw new DomainError("timeS", "must be zero or more", timeS);
  const size = losing.length + 1;
  const fastest = losing.reduce((a, b) => Math.max(a, b), 0);
  const squarings = Math.max(0, Math.ceil(Math.log2(Math.max(fastest * timeS, 1e-300))) + 1);
  const step = timeS / 2 ** squarings;
  // (A + qI)·step, all of it non-negative; exp(A·step) = exp(−q·step)·Σ (…)^k/k!.
  const raised = shiftedBalance(losing, landing, fastest, step);
  let rows = identityTriangle(size);
  // Horner's scheme from the innermost term; q·step ≤ 1/2, so 16 terms leave less than 1e-18.
  for (let k = 16; k >= 1; k--) rows = hornerStep(raised, rows, k);
  // exp(−q·step) is one factor for all, which the sum of 1 takes out.
  rows = withMassKept(rows);
  for (let s = 0; s < squarings; s++) rows = withMassKept(triangleProduct(rows, rows));
  return { size, rows };
}

/** The propagator over twice the time. */
export function squared({ size, rows }: Propagator): Propagator {
  return { size, rows: withMassKept(triangleProduct(rows, rows)) };
}

/** The shares after one step. */
export function advance({ rows }: Propagator, shares: Float64Array): Float64Array {
  return triangleTimes(rows, shares);
}
