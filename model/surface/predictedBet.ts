import { normalDeviate } from "#distributions/families/normalDeviate.ts";
import { type BetPair, minPairs } from "./bet.ts";
import { type BetForm, expectationFrom, type FormErrors, formErrors, guessed } from "./betForm.ts";
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
  known: readonly BetPair[],
  geometricM2PerG: number,
  asked: PredictedBetQuestion,
): PredictedBet {
  const { level, isLowerBound = false, now = {}, low = null, high = null, cameBackM2PerG = null } = asked;
  const pairs = known.filter((pair) => !isItsOwn(pair, geometricM2PerG, cameBackM2PerG));
  const differing = pairs.map((pair) => staleness(pair, now));
  const holding = pairs.filter((_, i) => differing[i]?.length === 0);
  const expected =
    holding.length === 0 ? guessed(geometricM2PerG) : expectationFrom(holding, geometricM2PerG);
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
