import { logAverage } from "simple-statistics";

/** exp of the mean ln; null for no values. The package's own geometric mean multiplies them up and overflows. */
export function geometricMean(values: readonly number[]): number | null {
  return values.length === 0 ? null : logAverage([...values]);
}
