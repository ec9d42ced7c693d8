import { itemAt } from "#distributions/lists.ts";

/** Which way a quantity goes from the first run to the last. */
export type Trend = "falling" | "rising" | "steady";

/** With fewer runs a perfect order is too easily chance: three fall in order one time in six. */
export const minRunsForTrend = 5;

/** Chance that runs without any trend fall in so good an order, both ways counted. */
const rarerThan = 0.03;

/** A change over this many pooled standard deviations needs no order. */
const pooledFactor = 3;

/**
 * The trend of a quantity over the runs in the order they were made: Kendall's S against its exact distribution
 * from five runs on, or a change from first to last of more than three pooled standard deviations.
 *
 * @param values    one a run, in order; null where not known
 * @param pooledSd  of the same quantity, pooled over lots; null where none is known
 * Source: Mann (1945), Kendall (1938), exact counts of inversions; docs/science.md.
 */
export function trendOf(values: readonly (number | null)[], pooledSd: number | null): Trend {
  const known = values.filter((v) => v !== null);
  if (known.length < values.length || known.length < 2) return "steady";
  const change = itemAt(known, -1) - itemAt(known, 0);
  const isBigChange = pooledSd !== null && Math.abs(change) > pooledFactor * pooledSd * Math.SQRT2;
  if (isBigChange) return change < 0 ? "falling" : "rising";
  if (known.length < minRunsForTrend) return "steady";
  const score = kendallScore(known);
  if (chanceOfOrder(known.length, Math.abs(score)) >= rarerThan) return "steady";
  return score < 0 ? "falling" : "rising";
}

/** Pairs in rising order less pairs in falling order. */
export function kendallScore(values: readonly number[]): number {
  let score = 0;
  for (const [i, a] of values.entries()) for (const b of values.slice(i + 1)) score += Math.sign(b - a);
  return score;
}

/** The chance of a score at least so far from 0, both ways, when every order is as likely. */
export function chanceOfOrder(runs: number, score: number): number {
  let counts = [1];
  for (let n = 2; n <= runs; n++) {
    // A further run stands before 0 … n − 1 of the others.
    const before = counts;
    counts = Array.from({ length: before.length + n - 1 }, (_, inversions) =>
      before.slice(Math.max(inversions - n + 1, 0), inversions + 1).reduce((a, b) => a + b, 0),
    );
  }
  const pairs = (runs * (runs - 1)) / 2;
  const whole = counts.reduce((a, b) => a + b, 0);
  const far = counts.reduce(
    (sum, count, inversions) => (Math.abs(pairs - 2 * inversions) >= score ? sum + count : sum),
    0,
  );
  return far / whole;
}
