import { mean, sampleStandardDeviation } from "simple-statistics";
import { tQuantile } from "#model/numbers/studentT.ts";
import type { Trial } from "./trial.ts";

/** Product collected over feed, as the trials weighed it. */
export interface TrialYield {
  readonly median: number;
  /** Range of the next run at this level; null below three weighed trials. */
  readonly low: number | null;
  readonly high: number | null;
  readonly level: number;
  /** Trials that note both product and feed. */
  readonly weighed: number;
}

/** With fewer the scatter is not known [judgement]. */
const minWeighed = 3;

/**
 * The yield to expect of the next run: the geometric mean of product over feed with Student's t for one run more, on ln.
 * More than was fed does not come out, so the range ends at 1.
 *
 * @returns null where no trial notes product and feed: a balance does not tell what a filter or a wall keeps
 * Source: textbook prediction interval of a normal mean, on ln.
 */
export function trialYield(trials: readonly Trial[], level = 0.9): TrialYield | null {
  const logs = trials.flatMap(({ productKgPerH, feedKgPerH }) =>
    productKgPerH == null || feedKgPerH === null || !(productKgPerH > 0) || !(feedKgPerH > 0)
      ? []
      : [Math.log(productKgPerH / feedKgPerH)],
  );
  const weighed = logs.length;
  if (weighed === 0) return null;
  const middle = mean(logs);
  const median = Math.min(1, Math.exp(middle));
  if (weighed < minWeighed) return { median, low: null, high: null, level, weighed };
  const reach =
    tQuantile(0.5 + level / 2, weighed - 1) * sampleStandardDeviation(logs) * Math.sqrt(1 + 1 / weighed);
  return {
    median,
    low: Math.min(1, Math.exp(middle - reach)),
    high: Math.min(1, Math.exp(middle + reach)),
    level,
    weighed,
  };
}
