import { normalDeviate } from "#distributions/families/normalDeviate.ts";
import { normalForm } from "#distributions/families/normalForm.ts";
import { type BetPair, minPairs, type StatedPair } from "./bet.ts";
import {
  type BetForm,
  type Expectation,
  expectationFrom,
  type FormErrors,
  formErrors,
  guessed,
} from "./betForm.ts";
import { beyondPairs, factorBeyond, nearestPair, type PlaceAmongPairs, placeAmong } from "./beyondPairs.ts";
import { type CalibrationMetadata, staleness } from "./stale.ts";

/** The predicted BET area of a powder with its interval, and the assessment of a measured value. */
export interface PredictedBet {
  /** guess: no pair holds, so only the widest of priors. few pairs: a ratio without spread. */
  readonly basis: "guess" | "few pairs" | "pairs";
  readonly form: BetForm;
  /** Pairs in use. */
  readonly pairs: number;
  /** Pairs left out, since they were measured otherwise, and in what. */
  readonly stale: { readonly pairs: number; readonly differing: readonly string[] };
  /** Leave-one-out errors of the two forms, rms of ln; null below six pairs. */
  readonly errors: FormErrors | null;
  /** Whether powder lies outside the classes: the area and what follows from it are then lower bounds, without interval or chance. */
  readonly isLowerBound: boolean;
  readonly median: number;
  readonly low: number | null;
  readonly high: number | null;
  readonly level: number;
  /** Chance that the BET value lies within the limits given; null without limits or spread, or of a lower bound. */
  readonly chanceWithin: number | null;
  readonly cameBack: MeasuredAgainstPredicted | null;
  /** Where the powder's area lies among those of the pairs; null where no pair holds. Beyond or outside them the wider of two laws serves, or none. */
  readonly amongPairs: AmongPairs | null;
}

export interface AmongPairs {
  readonly place: PlaceAmongPairs;
  /** By what factor beyond the nearest end of the pairs' areas; 1 within. */
  readonly factor: number;
  readonly nearest: Pick<BetPair, "geometricM2PerG" | "betM2PerG"> | null;
}

/** A measured BET value against the prediction. */
export interface MeasuredAgainstPredicted {
  readonly betM2PerG: number;
  /** As a standard normal deviate; null where no spread is known. Kept within ±8. */
  readonly z: number | null;
  /** |z| > 2. A guess is never held against a value inside it. */
  readonly isUnexpected: boolean | null;
  /** Usual reasons, the commonest first; empty where it was expected. */
  readonly reasons: readonly string[];
}

/** Common practice, no source. */
const reasonsHigh: readonly string[] = [
  "fines below the instrument's limit, which add area but hardly change D10",
  "open pores or rough surfaces from firing or crushing",
  "water or carbonate left by incomplete degassing",
  "agglomerates measured as single particles by laser diffraction",
];
const reasonsLow: readonly string[] = [
  "necked particles, whose contacts the gas cannot reach",
  "fines lost in handling before the BET portion was taken",
  "particles broken by dispersion in the laser diffraction measurement",
  "an optical model that shows fines that do not exist",
];

export interface PredictedBetQuestion {
  readonly level: number;
  /** Of the geometric area; false when left out. */
  readonly isLowerBound?: boolean;
  readonly now?: CalibrationMetadata;
  readonly low?: number | null;
  readonly high?: number | null;
  readonly cameBackM2PerG?: number | null;
  /** Relative standard uncertainty of the powder's geometric area, from its runs. */
  readonly areaRelativeU?: number;
  /** … and of the BET value that came back or is to come, as stated. */
  readonly betRelativeU?: number;
}

/** A pair holds its areas rounded, to three figures at the coarsest. */
const sameArea = 5e-3;

/** Whether a pair is that of the very powder and value: a value is not judged by itself. */
export function isItsOwn(
  pair: Pick<BetPair, "geometricM2PerG" | "betM2PerG">,
  geometricM2PerG: number | null,
  betM2PerG: number | null,
): boolean {
  return (
    geometricM2PerG !== null &&
    pair.betM2PerG === betM2PerG &&
    Math.abs(pair.geometricM2PerG / geometricM2PerG - 1) <= sameArea
  );
}

/**
 * The predicted BET area of a powder of a geometric area, from the pairs of its stage that still apply.
 * Once a value is measured, its own pair is left out, so that it is judged by the others alone.
 * Source: docs/science.md. Accuracy: the 95 % interval holds 93–97 % of values to come from three pairs on (simulated).
 */
export function predictedBet(
  known: readonly StatedPair[],
  geometricM2PerG: number,
  asked: PredictedBetQuestion,
): PredictedBet {
  const { level, isLowerBound = false, now = {}, low = null, high = null, cameBackM2PerG = null } = asked;
  const pairs = known.filter((pair) => !isItsOwn(pair, geometricM2PerG, cameBackM2PerG));
  const differing = pairs.map((pair) => staleness(pair, now));
  const holding = pairs.filter((_, i) => differing[i]?.length === 0);
  const amongPairs = amongPairsOf(holding, geometricM2PerG);
  const expected = widened(expectedOf(holding, geometricM2PerG, amongPairs), moreThanPairs(holding, asked));
  const tail = (1 - level) / 2;
  const under = high === null ? 1 : expected.below(high);
  const tooLow = low === null ? 0 : expected.below(low);
  const below = cameBackM2PerG === null ? null : expected.below(cameBackM2PerG);
  return {
    basis: holding.length === 0 ? "guess" : holding.length < minPairs ? "few pairs" : "pairs",
    form: expected.form,
    pairs: holding.length,
    stale: { pairs: pairs.length - holding.length, differing: [...new Set(differing.flat())] },
    errors: formErrors(holding),
    isLowerBound,
    median: expected.median,
    low: isLowerBound ? null : expected.quantile(tail),
    high: isLowerBound ? null : expected.quantile(1 - tail),
    level,
    chanceWithin:
      isLowerBound || (low === null && high === null) || under === null || tooLow === null
        ? null
        : Math.max(0, under - tooLow),
    cameBack:
      cameBackM2PerG === null
        ? null
        : // More than a lower bound is nothing to wonder at; less is.
          cameBackOf(
            cameBackM2PerG,
            isLowerBound && below !== null && below > 0.5 ? null : below,
            holding.length === 0,
          ),
    amongPairs,
  };
}

function amongPairsOf(holding: readonly BetPair[], geometricM2PerG: number): AmongPairs | null {
  const nearest = nearestPair(holding, geometricM2PerG);
  if (nearest === null) return null;
  return {
    place: placeAmong(holding, geometricM2PerG),
    factor: factorBeyond(holding, geometricM2PerG),
    nearest: { geometricM2PerG: nearest.geometricM2PerG, betM2PerG: nearest.betM2PerG },
  };
}

/** Within the pairs' areas the form they prefer; beyond them the wider of two laws; farther out a ratio without any spread. */
function expectedOf(holding: readonly BetPair[], area: number, among: AmongPairs | null): Expectation {
  if (among === null) return guessed(area);
  const here = expectationFrom(holding, area);
  if (among.place === "within") return here;
  const beyond = among.place === "beyond" ? beyondPairs(holding, area) : null;
  return beyond ?? { ...here, quantile: () => null, below: () => null };
}

/**
 * The variance of ln that this powder's own errors add to that of the pairs, whose scatter holds their errors already.
 * Nothing where the uncertainties of the pairs are not stated: they cannot be told from the scatter.
 */
function moreThanPairs(holding: readonly StatedPair[], asked: PredictedBetQuestion): number {
  const more = (own: number | undefined, theirs: readonly (number | undefined)[]) => {
    const stated = theirs.filter((u) => u !== undefined);
    if (own === undefined || stated.length === 0 || stated.length < theirs.length) return 0;
    return Math.max(0, own ** 2 - stated.reduce((sum, u) => sum + u ** 2, 0) / stated.length);
  };
  return (
    more(
      asked.areaRelativeU,
      holding.map((p) => p.areaRelativeU),
    ) +
    more(
      asked.betRelativeU,
      holding.map((p) => p.betRelativeU),
    )
  );
}

/** An expectation whose spread is wider by a variance of ln: its distances to the median grow, each in its own proportion. */
function widened(of: Expectation, variance: number): Expectation {
  if (variance === 0) return of;
  const { median, quantile, below } = of;
  const reach = (p: number) => {
    const at = quantile(p);
    return at === null ? null : Math.log(at / median);
  };
  return {
    ...of,
    quantile: (p) => {
      const own = reach(p);
      if (own === null) return null;
      return median * Math.exp(Math.sign(own) * Math.hypot(own, Math.sqrt(variance) * normalDeviate(p)));
    },
    below: (bet) => {
      const p = below(bet);
      if (p === null || p <= 0 || p >= 1) return p;
      const own = Math.abs(normalDeviate(p));
      const away = Math.abs(Math.log(bet / median));
      const z = away === 0 ? 0 : away / Math.hypot(own > 0 ? away / own : 0, Math.sqrt(variance));
      return normalForm.undersize(p < 0.5 ? -z : z);
    },
  };
}

const farthest = 8;
const unexpectedFrom = 2;

function cameBackOf(betM2PerG: number, below: number | null, isGuess: boolean): MeasuredAgainstPredicted {
  if (below === null) return { betM2PerG, z: null, isUnexpected: null, reasons: [] };
  const z = below <= 0 ? -farthest : below >= 1 ? farthest : normalDeviate(below);
  const bounded = Math.min(Math.max(z, -farthest), farthest);
  // A guess says nothing of what is likelier inside it.
  const isUnexpected = Math.abs(bounded) > unexpectedFrom && !(isGuess && below > 0 && below < 1);
  return {
    betM2PerG,
    z: bounded,
    isUnexpected,
    reasons: !isUnexpected ? [] : z > 0 ? reasonsHigh : reasonsLow,
  };
}
