import { mean, sampleStandardDeviation } from "simple-statistics";
import { maxOf, minOf, zip } from "#distributions/lists.ts";
import { dot } from "#model/numbers/kernels/vectors.ts";
import { tCdf, tQuantile } from "#model/numbers/studentT.ts";
import type { BetPair } from "./bet.ts";
import type { Expectation } from "./betForm.ts";

/** Where a powder's geometric area lies among those of the pairs. */
export type PlaceAmongPairs = "within" | "beyond" | "outside";

/** Beyond their areas by more than this factor the pairs say nothing. */
const farthestBeyond = 1.5;

/** Two laws are told apart by no fewer pairs. */
export const minPairsBeyond = 4;

/** A powder so near the pairs' areas is within them: laws as far apart as those beyond differ by a per cent there. A judgement of ours. */
const near = 0.05;

/** By how much an area lies beyond the pairs' areas; 1 within them, or so near that no law shows. */
export function factorBeyond(pairs: readonly BetPair[], geometricM2PerG: number): number {
  const areas = pairs.map((pair) => pair.geometricM2PerG);
  const factor = Math.max(geometricM2PerG / maxOf(areas), minOf(areas) / geometricM2PerG, 1);
  return factor <= 1 + near ? 1 : factor;
}

/** @param pairs  at least one */
export function placeAmong(pairs: readonly BetPair[], geometricM2PerG: number): PlaceAmongPairs {
  const factor = factorBeyond(pairs, geometricM2PerG);
  if (factor === 1) return "within";
  return factor <= farthestBeyond && pairs.length >= minPairsBeyond ? "beyond" : "outside";
}

/** The pair whose area is nearest in ratio. @param pairs  at least one */
export function nearestPair(pairs: readonly BetPair[], geometricM2PerG: number): BetPair | null {
  const away = (pair: BetPair) => Math.abs(Math.log(pair.geometricM2PerG / geometricM2PerG));
  return pairs.reduce<BetPair | null>((a, b) => (a === null || away(b) < away(a) ? b : a), null);
}

/**
 * The BET area of a powder beyond the pairs' areas, where no pair shows which law holds: the union of an offset beside a ratio
 * with relative scatter, and of a power of the area near one. Its interval reaches from the lower to the upper end of both; the
 * chance of a value below is that law's which is nearer one half, so that nothing is called unexpected which either law expects.
 *
 * @param pairs  four or more
 * @returns      null where the pairs are alike in area and show no law
 * Source: ours, simulated (docs/validation.md); docs/science.md.
 */
export function beyondPairs(pairs: readonly BetPair[], geometricM2PerG: number): Expectation | null {
  const forms = [offsetLaw(pairs, geometricM2PerG), powerLaw(pairs, geometricM2PerG)].filter(
    (form) => form !== null,
  );
  if (forms.length < 2) return null;
  const median = Math.exp(mean(forms.map((form) => Math.log(form.quantile(0.5)))));
  return {
    form: "ratio",
    median,
    quantile: (p) => {
      const ends = forms.map((form) => form.quantile(p));
      return p < 0.5 ? minOf(ends) : p > 0.5 ? maxOf(ends) : median;
    },
    below: (bet) =>
      forms.map((form) => form.below(bet)).reduce((a, b) => (Math.abs(b - 0.5) < Math.abs(a - 0.5) ? b : a)),
  };
}

interface Law {
  readonly quantile: (p: number) => number;
  readonly below: (bet: number) => number;
}

/** No area of a powder is so small beside its geometric one. */
const leastRatio = 0.01;

/** BET/S = k + c/S with one relative scatter: least squares of the ratio on 1/S, each over its own size. */
function offsetLaw(pairs: readonly BetPair[], area: number): Law | null {
  const ratios = pairs.map((pair) => pair.betM2PerG / pair.geometricM2PerG);
  const ones = pairs.map((pair) => 1 / pair.geometricM2PerG);
  const weights = ratios.map((ratio) => ratio ** -2);
  const total = weights.reduce((a, b) => a + b, 0);
  const over = (values: readonly number[]) => dot(values, weights) / total;
  const [x, y] = [over(ones), over(ratios)];
  const spread = over(ones.map((v) => (v - x) ** 2)) * total;
  if (!(spread > 1e-12 * total * x * x)) return null;
  const points = zip(ones, ratios);
  const slope = (over(points.map(([one, ratio]) => (one - x) * (ratio - y))) * total) / spread;
  const squares = over(points.map(([one, ratio]) => (ratio - y - slope * (one - x)) ** 2)) * total;
  const degrees = pairs.length - 2;
  const ratio = Math.max(y + slope * (1 / area - x), leastRatio);
  const relative = Math.sqrt(
    (squares / degrees) * (1 + (1 / total + (1 / area - x) ** 2 / spread) / ratio ** 2),
  );
  return {
    quantile: (p) => area * ratio * Math.exp(relative * tQuantile(p, degrees)),
    below: (bet) => (bet > 0 ? tCdfOf(Math.log(bet / (area * ratio)), relative, degrees) : 0),
  };
}

/** How far a power of the area strays from one, as a standard deviation. A judgement of ours. */
const powerSd = 0.2;

/** ln BET straight in ln S, its slope known to be 1 ± 0.2 before the pairs speak. */
function powerLaw(pairs: readonly BetPair[], area: number): Law {
  const logs = pairs.map((pair) => Math.log(pair.geometricM2PerG));
  const ratios = pairs.map((pair) => Math.log(pair.betM2PerG / pair.geometricM2PerG));
  const [x, y] = [mean(logs), mean(ratios)];
  const spread = logs.reduce((sum, v) => sum + (v - x) ** 2, 0);
  const variance = sampleStandardDeviation(ratios) ** 2;
  const along = zip(logs, ratios).reduce((sum, [log, ratio]) => sum + (log - x) * (ratio - y), 0);
  // Of the slope less one: known to be 0 ± 0.2, and seen as along/spread ± √(variance/spread).
  const precision = powerSd ** -2 + (variance > 0 ? spread / variance : 0);
  const slope = variance > 0 ? along / variance / precision : 0;
  const degrees = pairs.length - 1;
  const middle = y + Math.log(area) + slope * (Math.log(area) - x);
  const sd = Math.sqrt(variance * (1 + 1 / pairs.length) + (Math.log(area) - x) ** 2 / precision);
  return {
    quantile: (p) => Math.exp(middle + sd * tQuantile(p, degrees)),
    below: (bet) => (bet > 0 ? tCdfOf(Math.log(bet) - middle, sd, degrees) : 0),
  };
}

function tCdfOf(away: number, sd: number, degrees: number): number {
  return sd > 0 ? tCdf(away / sd, degrees) : away >= 0 ? 1 : 0;
}
