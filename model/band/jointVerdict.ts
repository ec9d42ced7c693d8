import { mean } from "simple-statistics";
import { itemAt, zip } from "#distributions/lists.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { minRuns } from "#model/lot/intervals.ts";
import { chanceAllWithin, type JointError, type Limits } from "#model/numbers/jointChance.ts";
import type { Band } from "./band.ts";
import { limitValue } from "./limits.ts";

/** Run-to-run covariance of a band's rows, pooled over lots: how the limits' values err together. */
export interface PooledCovariance {
  readonly covariance: readonly (readonly number[])[];
  /** Σ (runs − 1). */
  readonly degrees: number;
}

/** With fewer degrees of freedom the lot's own runs are not outvoted. */
const fewestPooledDegrees = 10;

/** The rows' values of each run; null where one is not known. */
export function rowValues(
  runs: readonly NamedMeasurement[],
  band: Band,
): readonly (readonly number[])[] | null {
  const values = runs.map((run) => band.rows.map((row) => limitValue(row, run.distribution, band)));
  const known = values.map((row) => row.filter((v) => v !== null));
  return known.every((row) => row.length === band.rows.length) ? known : null;
}

/** @returns null where no lot has two runs that know every row */
export function pooledCovariance(
  lots: readonly (readonly NamedMeasurement[])[],
  band: Band,
): PooledCovariance | null {
  const values = lots.flatMap((runs) => {
    const known = rowValues(runs, band);
    return known === null ? [] : [known];
  });
  return covarianceOver(values, band.rows.length);
}

/** Within lots, pooled: Σ over lots of the cross products about their own means, over Σ (runs − 1). */
function covarianceOver(
  lots: readonly (readonly (readonly number[])[])[],
  count: number,
): PooledCovariance | null {
  const degrees = lots.reduce((sum, values) => sum + Math.max(0, values.length - 1), 0);
  if (degrees === 0) return null;
  const away = lots.flatMap((values) => {
    const means = meansOf(values, count);
    return values.map((row) => zip(row, means).map(([v, mean]) => v - mean));
  });
  const covariance = Array.from({ length: count }, (_, a) =>
    Array.from(
      { length: count },
      (__, b) => away.reduce((sum, row) => sum + itemAt(row, a) * itemAt(row, b), 0) / degrees,
    ),
  );
  return { covariance, degrees };
}

/** Whose scatter a joint chance rests on. */
type ScatterOf = "own runs" | "pooled over lots";

/** Whose scatter serves for a lot of so many runs; null where nothing is known of it. */
export function scatterOf(runs: number, pooled: PooledCovariance | null): ScatterOf | null {
  if (pooled !== null && pooled.degrees >= fewestPooledDegrees) return "pooled over lots";
  return runs >= minRuns ? "own runs" : null;
}

/**
 * How the rows' lot means err together; null where nothing is known of the spread.
 *
 * The sum of squares is taken over one degree of freedom more than it has. Lots lie anywhere about a limit while their
 * runs scatter alike: of the lots that a chance p is said of, those whose runs happened to scatter widely lie over a
 * wider stretch and are the more, in proportion to their spread s, and weighting χ²_ν by s gives χ²_(ν+1). With ν itself
 * a chance of 65 % said of three runs came true in 72–78 % of lots. This is the posterior under Jeffreys' rule,
 * p(μ, σ) ∝ σ⁻²; docs/science.md.
 */
function jointErrorOf(
  values: readonly (readonly number[])[],
  pooled: PooledCovariance | null,
): JointError | null {
  const [first] = values;
  if (first === undefined || first.length === 0) return null;
  const count = first.length;
  const from = scatterOf(values.length, pooled);
  const used = from === "own runs" ? covarianceOver([values], count) : pooled;
  if (from === null || used === null) return null;
  return {
    means: meansOf(values, count),
    covariance: used.covariance.map((row) =>
      row.map((v) => (v * used.degrees) / (used.degrees + 1) / values.length),
    ),
    degrees: used.degrees + 1,
  };
}

/**
 * The chance that the lot's true means lie within every row of its band at once: D10, D50 and D90 move together, so the
 * product of the rows' chances would be too small.
 *
 * Over one degree of freedom more than a row's own Student's t, it may stand some points above the chance of a row
 * alone where three runs speak for themselves. Capped by the least row it no longer came true as often as it said: of
 * lots that 65 % was said of, 73 % conformed.
 *
 * @param values  of each run, one a row of the band
 * @param pooled  over lots, used from ten degrees of freedom on; else the lot's own three runs or more
 * @returns       null where nothing is known of the spread, or there are no rows
 * Source: JCGM 106 (conformance probability of several values) with a multivariate t; docs/science.md.
 * Accuracy: calibrated within 5 points (simulated, docs/validation.md).
 */
export function jointChance(
  values: readonly (readonly number[])[],
  limits: readonly Limits[],
  pooled: PooledCovariance | null = null,
): number | null {
  const error = jointErrorOf(values, pooled);
  return error === null ? null : chanceAllWithin(error, limits);
}

function meansOf(values: readonly (readonly number[])[], count: number): number[] {
  return Array.from({ length: count }, (_, i) => mean(values.map((row) => itemAt(row, i))));
}
