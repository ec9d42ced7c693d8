import { mean, sampleStandardDeviation } from "simple-statistics";
import { DomainError } from "#distributions/domainError.ts";
import { tQuantile } from "#model/numbers/studentT.ts";

/** A BET area measured on a powder whose geometric area was known: what the BET ratio is learned from. */
export interface BetPair {
  readonly stage: string;
  /** The material both areas were measured of; absent where it was typed without one. */
  readonly material?: string;
  readonly geometricM2PerG: number;
  readonly betM2PerG: number;
  /** How the powder was measured, where it was noted: a pair measured otherwise does not hold for a powder of today. */
  readonly instrument?: string;
  readonly optics?: string;
  readonly dopantClass?: string;
  /** The day it was measured, as 2026-11-25. */
  readonly measuredOn?: string;
  readonly densityGPerCm3?: number;
}

/** The name under which a BET area is noted among the results of a lot. */
export const betResult = "BET area";

/** Whether a unit, as somebody wrote it beside a BET area, is m²/g; left empty it is taken for the usual one. */
export function isM2PerG(unit: string): boolean {
  return /^(m(²|\^?2)(\/g|[·.*]?g(⁻¹|\^?[-−]1)))?$/i.test(unit.replace(/\s/g, ""));
}

/** A result noted for a lot, as far as it may be a BET area. */
export interface Noted {
  readonly name: string;
  readonly unit: string;
  readonly stage: string | null;
  readonly value: number;
}

/** Why a BET area that was noted is held against no expected value; null where it is, and for other results. */
export function whyNotCompared({ name, unit, stage, value }: Noted): string | null {
  if (name !== betResult) return null;
  if (!isM2PerG(unit))
    return `This value is not compared with the prediction, because its unit is ${unit.trim()}. Give the value in m²/g.`;
  if (stage === null)
    return "This value is not compared with the prediction, because its stage is not stated. State the stage.";
  if (!(value > 0))
    return "This value is not compared with the prediction, because an area must be above zero. Correct the value.";
  return null;
}

/** What the pairs of one stage say about the ratio of BET area to geometric area. */
export interface BetRatio {
  readonly pairs: number;
  readonly median: number;
  /** Null below three pairs: two do not show their scatter. */
  readonly low: number | null;
  readonly high: number | null;
  readonly level: number;
}

/** From this many pairs on, the ratio has an interval. */
export const minPairs = 3;

/**
 * The BET ratio of a stage for one further powder, with a Student-t prediction interval on ln k.
 *
 * @param level  0 … 1, the chance the interval should hold the next ratio
 * @returns      null without a pair of that stage
 * @throws DomainError  a level outside 0 … 1
 * Source: exp(mean ± t·s·√(1 + 1/n)), prediction of one further normal value; docs/science.md. BET area: ISO 9277.
 */
export function betRatio(pairs: readonly BetPair[], stage: string | null, level: number): BetRatio | null {
  if (!(level > 0 && level < 1)) throw new DomainError("level", "must lie between 0 and 1", level);
  const logs = pairs
    .filter((pair) => stage === null || pair.stage === stage)
    .map((pair) => Math.log(pair.betM2PerG / pair.geometricM2PerG));
  const n = logs.length;
  if (n === 0) return null;
  const middle = mean(logs);
  if (n < minPairs) return { pairs: n, median: Math.exp(middle), low: null, high: null, level };
  const reach = tQuantile(0.5 + level / 2, n - 1) * sampleStandardDeviation(logs) * Math.sqrt(1 + 1 / n);
  return {
    pairs: n,
    median: Math.exp(middle),
    low: Math.exp(middle - reach),
    high: Math.exp(middle + reach),
    level,
  };
}
