import { mean, sampleStandardDeviation } from "simple-statistics";
import { lineThrough, predictionSd } from "#model/numbers/line.ts";
import { tCdf, tQuantile } from "#model/numbers/studentT.ts";
import { type BetPair, minPairs } from "./bet.ts";

/** How BET area follows from geometric area: S = k · S_geo, or S = offset + k · S_geo. */
export type BetForm = "ratio" | "offset and ratio";

/** What a BET value to come is expected to be, as a distribution. */
export interface Expectation {
  readonly form: BetForm;
  readonly median: number;
  /** The value that a chance p lies below; null where the pairs say nothing of their spread. */
  readonly quantile: (p: number) => number | null;
  /** The chance of a value below; null likewise. */
  readonly below: (betM2PerG: number) => number | null;
}

/** From this many pairs on, an offset is tried. */
export const minPairsForOffset = 6;

/** The simpler form stays unless the other's error is smaller by more than this part. docs/science.md. */
const worthwhile = 0.1;

/** Leave-one-out errors of both forms, rms of ln(found/expected). */
export interface FormErrors {
  readonly ratio: number;
  readonly offset: number;
}

/** @returns null below six pairs, or where the pairs do not differ in geometric area */
export function formErrors(pairs: readonly BetPair[]): FormErrors | null {
  if (pairs.length < minPairsForOffset) return null;
  const squares = { ratio: 0, offset: 0 };
  for (const [out, pair] of pairs.entries()) {
    const others = pairs.filter((_, i) => i !== out);
    const byOffset = offsetExpectation(others, pair.geometricM2PerG);
    if (byOffset === null) return null;
    const byRatio = ratioExpectation(others, pair.geometricM2PerG);
    squares.ratio += Math.log(pair.betM2PerG / byRatio.median) ** 2;
    squares.offset += byOffset.median > 0 ? Math.log(pair.betM2PerG / byOffset.median) ** 2 : 1;
  }
  const rms = (sum: number) => Math.sqrt(sum / pairs.length);
  return { ratio: rms(squares.ratio), offset: rms(squares.offset) };
}

/**
 * The BET area of one further powder from pairs, in the form that leave-one-out prefers.
 * Source: exp(mean ln k ± t s √(1 + 1/n)), or the prediction about a straight line; docs/science.md.
 */
export function expectationFrom(pairs: readonly BetPair[], geometricM2PerG: number): Expectation {
  const errors = formErrors(pairs);
  const byOffset = errors === null ? null : offsetExpectation(pairs, geometricM2PerG);
  const isWorthIt = errors !== null && errors.offset < (1 - worthwhile) * errors.ratio;
  return byOffset !== null && isWorthIt ? byOffset : ratioExpectation(pairs, geometricM2PerG);
}

function ratioExpectation(pairs: readonly BetPair[], geometricM2PerG: number): Expectation {
  const logs = pairs.map((pair) => Math.log(pair.betM2PerG / pair.geometricM2PerG));
  const n = logs.length;
  const middle = mean(logs) + Math.log(geometricM2PerG);
  const sd = n < minPairs ? null : sampleStandardDeviation(logs) * Math.sqrt(1 + 1 / n);
  return {
    form: "ratio",
    median: Math.exp(middle),
    quantile: (p) => (sd === null ? null : Math.exp(middle + sd * tQuantile(p, n - 1))),
    below: (bet) =>
      sd === null ? null : bet > 0 ? chanceBelow((Math.log(bet) - middle) / sd, sd === 0, n - 1) : 0,
  };
}

function offsetExpectation(pairs: readonly BetPair[], geometricM2PerG: number): Expectation | null {
  const line = lineThrough(
    pairs.map((p) => p.geometricM2PerG),
    pairs.map((p) => p.betM2PerG),
    0.95,
  );
  if (line === null) return null;
  const middle = line.intercept + line.slope * geometricM2PerG;
  const sd = predictionSd(line, geometricM2PerG);
  const degrees = line.points - 2;
  return {
    form: "offset and ratio",
    median: middle,
    quantile: (p) => Math.max(0, middle + sd * tQuantile(p, degrees)),
    below: (bet) => chanceBelow((bet - middle) / sd, sd === 0, degrees),
  };
}

function chanceBelow(t: number, isSharp: boolean, degrees: number): number {
  if (isSharp) return t >= 0 ? 1 : 0;
  return tCdf(t, degrees);
}

/**
 * With no pair at all: k anywhere from 1 (smooth dense spheres) to 2, evenly in ln k. A guess, to be called one.
 * Shape alone gives 1.18 to 1.49 (octahedron, cube, tetrahedron by geometry); pores and roughness add to it. docs/science.md.
 */
export function guessed(geometricM2PerG: number): Expectation {
  const widest = Math.LN2;
  return {
    form: "ratio",
    median: geometricM2PerG * Math.SQRT2,
    quantile: (p) => geometricM2PerG * Math.exp(p * widest),
    below: (bet) => (bet > 0 ? Math.min(1, Math.max(0, Math.log(bet / geometricM2PerG) / widest)) : 0),
  };
}
