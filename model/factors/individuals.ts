import { DomainError } from "#distributions/domainError.ts";

/** Mean moving range of two over the standard deviation. Source: d2 for samples of two, 1.128 (NIST/SEMATECH e-Handbook 6.3.2.2). */
export const movingRangeFactor = 1.128;

/** A rule that a run of values broke. */
export interface RuleHit {
  readonly rule:
    | "beyond a limit"
    | "two of three near a limit"
    | "four of five on one side"
    | "eight on one side";
  /** Place of the value that completes it, from 0. */
  readonly at: number;
  readonly side: "high" | "low";
}

/** A chart of single values in their order. */
export interface Individuals {
  readonly values: readonly number[];
  readonly middle: number;
  readonly low: number;
  readonly high: number;
  /** Mean moving range over 1.128. */
  readonly sigma: number;
  readonly hits: readonly RuleHit[];
}

/** With fewer values the limits would be chance themselves; below twice as many they are provisional. A judgement of ours. */
export const minLotsForChart = 5;

/**
 * The middle of values ± 3 of their mean moving range / 1.128, and the runs that chance seldom makes: one beyond a limit,
 * two of three beyond two thirds of the way, four of five beyond one third, eight on one side.
 *
 * @returns null below five values
 * @throws  DomainError for a value that is no number
 * Source: NIST/SEMATECH e-Handbook 6.3.2.2 (individuals), 6.3.2 (the rules, from memory).
 */
export function individuals(values: readonly number[]): Individuals | null {
  const odd = values.find((v) => !Number.isFinite(v));
  if (odd !== undefined) throw new DomainError("value", "must be a number", odd);
  if (values.length < minLotsForChart) return null;
  const n = values.length;
  const middle = values.reduce((a, b) => a + b, 0) / n;
  let ranges = 0;
  for (const [i, v] of values.entries()) if (i > 0) ranges += Math.abs(v - (values[i - 1] ?? v));
  const sigma = ranges / (n - 1) / movingRangeFactor;
  const deviates = values.map((v) => (sigma > 0 ? (v - middle) / sigma : 0));
  return { values, middle, low: middle - 3 * sigma, high: middle + 3 * sigma, sigma, hits: hitsIn(deviates) };
}

const rules: readonly { rule: RuleHit["rule"]; of: number; need: number; beyond: number }[] = [
  { rule: "beyond a limit", of: 1, need: 1, beyond: 3 },
  { rule: "two of three near a limit", of: 3, need: 2, beyond: 2 },
  { rule: "four of five on one side", of: 5, need: 4, beyond: 1 },
  { rule: "eight on one side", of: 8, need: 8, beyond: 0 },
];

/** A hit is told once: where the value that completes it is itself one of those beyond. */
function hitsIn(deviates: readonly number[]): RuleHit[] {
  return deviates.flatMap((own, at) =>
    (["high", "low"] as const).flatMap((side) => {
      const sign = side === "high" ? 1 : -1;
      return rules.flatMap(({ rule, of, need, beyond }): RuleHit[] => {
        const last = deviates.slice(Math.max(0, at - of + 1), at + 1);
        const isBeyond = (d: number) => sign * d > beyond;
        const isHit = last.length === of && isBeyond(own) && last.filter(isBeyond).length >= need;
        return isHit ? [{ rule, at, side }] : [];
      });
    }),
  );
}
