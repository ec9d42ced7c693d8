import { DomainError } from "#distributions/domainError.ts";
import type { Kernel } from "./kernel.ts";
import { triangleProduct } from "./kernels/triangles.ts";

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
  const q = fastest * step;
  const raised = Array.from({ length: size }, (_, i) => {
    const row = new Float64Array(i + 1);
    for (let j = 0; j < i; j++) row[j] = (landing[i]?.[j] ?? 0) * step;
    row[i] = q - (losing[i] ?? 0) * step;
    return row;
  });
  let rows: Float64Array[] = raised.map((_, i) =>
    Float64Array.from({ length: i + 1 }, (__, j) => (i === j ? 1 : 0)),
  );
  // Horner's scheme from the innermost term; q ≤ 1/2, so 16 terms leave less than 1e-18.
  for (let k = 16; k >= 1; k--) {
    rows = triangleProduct(raised, rows).map((row, i) => {
      for (let j = 0; j <= i; j++) row[j] = (row[j] ?? 0) / k + (i === j ? 1 : 0);
      return row;
    });
  }
  // exp(−q·step) is one factor for all, which the sum of 1 takes out.
  keepMass(rows);
  for (let s = 0; s < squarings; s++) {
    rows = triangleProduct(rows, rows);
    keepMass(rows);
  }
  return { size, rows };
}

/** The propagator over twice the time. */
export function squared({ size, rows }: Propagator): Propagator {
  const twice = triangleProduct(rows, rows);
  keepMass(twice);
  return { size, rows: twice };
}

/** Brings each column to a sum of 1. */
function keepMass(rows: readonly Float64Array[]): void {
  const sums = new Float64Array(rows.length);
  for (const row of rows)
    row.forEach((v, j) => {
      sums[j] = (sums[j] ?? 0) + v;
    });
  for (const row of rows)
    row.forEach((v, j) => {
      row[j] = v / (sums[j] ?? 1);
    });
}

/** The shares after one step. */
export function advance({ rows }: Propagator, shares: Float64Array): Float64Array {
  const out = new Float64Array(rows.length);
  for (const [i, row] of rows.entries()) {
    out[i] = row.reduce((sum, v, j) => sum + v * (shares[j] ?? 0), 0);
  }
  return out;
}
