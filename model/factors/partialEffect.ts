import { mean } from "simple-statistics";
import { maxOf, minOf, zip } from "#distributions/lists.ts";
import { tQuantile } from "#model/numbers/studentT.ts";
import { regressionOn } from "./regression.ts";

/** A result over one factor, the factors beside it held at their means. */
export interface PartialEffect {
  /** Lot by lot: the factor, and the result less what the others explain. */
  readonly points: readonly { readonly x: number; readonly y: number }[];
  /** The fitted mean at places of the factor, with its interval. */
  readonly line: readonly {
    readonly x: number;
    readonly y: number;
    readonly low: number;
    readonly high: number;
  }[];
}

const places = 21;

/**
 * The line of a factor in a regression on it and others, at the means of the others, with the interval of its mean:
 * centred columns leave the intercept uncorrelated with the slopes, so its variance is s²/n + (x − mean)² var(slope).
 *
 * @param factor  lot by lot, as the result
 * @param beside  further factors, each as long
 * @returns null where these lots cannot hold the regression
 * Source: textbook least squares.
 */
export function partialEffect(asked: {
  readonly result: readonly number[];
  readonly factor: readonly number[];
  readonly beside: readonly (readonly number[])[];
  readonly level: number;
}): PartialEffect | null {
  const { result, factor, beside, level } = asked;
  const fit = regressionOn([factor, ...beside], result);
  const [slope, ...others] = fit?.slopes ?? [];
  const slopeError = fit?.standardErrors[0];
  if (fit === null || slope === undefined || slopeError === undefined) return null;
  const explained = zip(beside, others).map(([column, its]) => {
    const middle = mean([...column]);
    return column.map((v) => its * (v - middle));
  });
  const points = zip(factor, result).map(([x, y], i) => ({
    x,
    y: explained.reduce((left, column) => left - column.slice(i, i + 1).reduce((a, b) => a + b, 0), y),
  }));
  const middle = mean([...factor]);
  const [from, to] = [minOf(factor), maxOf(factor)];
  const reach = tQuantile(0.5 + level / 2, fit.degrees);
  const line = Array.from({ length: places }, (_, i) => {
    const x = from + ((to - from) * i) / (places - 1);
    const y = fit.meanOfResult + slope * (x - middle);
    const error = reach * Math.hypot(fit.residualSd / Math.sqrt(fit.lots), slopeError * (x - middle));
    return { x, y, low: y - error, high: y + error };
  });
  return { points, line };
}
