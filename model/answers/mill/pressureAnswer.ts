import { DomainError } from "#distributions/domainError.ts";
import { maxOf, minOf } from "#distributions/lists.ts";
import type { Problem } from "#distributions/problem.ts";
import {
  atPressure,
  type PressurePriors,
  type PressureRegression,
  type PressureTrial,
  pressureForD50,
  pressureLimits,
  pressureRegression,
} from "#model/mill/pressure/pressureRegression.ts";
import { contradicting, extrapolationText, type Reason } from "#model/mill/trials/refusals.ts";
import { farthestFactor } from "#model/mill/trials/setPoint.ts";
import { intervalOf, type SizeInterval } from "#model/mill/trials/trialFit.ts";
import { chanceBelow } from "#model/numbers/normalMixture.ts";
import { capital, chanceText, counted, figures } from "#model/words/wording.ts";
import { type GivenPart, given, notAsked, refusal } from "./given.ts";
import { refusedText } from "./refusedText.ts";

/** The question to a mill without a wheel; null where a part is not asked. */
export interface PressureQuestion {
  /** Gauge, before the nozzles. */
  readonly pressureBar: number | null;
  readonly feedKgPerH: number | null;
  readonly targetD50Um: number | null;
  /** The vessel's and hoses' rating, gauge; without it no pressure is suggested. */
  readonly ratedBar: number | null;
}

export interface SuggestedPressure {
  readonly median: number;
  /** Here the share (1 − level)/2 of runs would already be at the target or finer; null beyond the limits. */
  readonly low: number | null;
  /** Here the share (1 + level)/2 of runs would be; null beyond the limits. */
  readonly high: number | null;
  readonly level: number;
  /** Chance that a run at the rated pressure, or at 1.5 times the highest tried, comes out at the target or finer. */
  readonly reachProbability: number;
}

export interface PressureAnswer {
  readonly d50Um: SizeInterval | null;
  readonly pressureBar: SuggestedPressure | null;
  readonly refused: readonly (Reason & { readonly what: "d50Um" | "pressureBar" })[];
  readonly warnings: readonly string[];
  readonly sentence: string;
  readonly problems: readonly Problem[];
}

const level = 0.9;

const noTrial: Reason = {
  reason: "there is no trial yet, and a mill without a wheel has no calculated cut to start from",
  remedy: "Enter a trial with its pressure and the D50 of the product.",
};
const noRating: Reason = {
  reason: "no rated pressure is entered",
  remedy: "Take the rating from the plates of vessel and hoses, or from the limit your engineer set.",
};

const refusedWords = {
  one: { d50Um: "No D50 is predicted", pressureBar: "No pressure is suggested" },
  both: "No D50 is predicted and no pressure suggested",
};

/** A jet mill without a wheel, from its own trials alone. @throws DomainError  an entry that is not above zero */
export function pressureAnswer(
  trials: readonly PressureTrial[],
  asked: PressureQuestion,
  priors?: PressurePriors,
): PressureAnswer {
  for (const [name, value] of Object.entries(asked))
    if (value !== null && !(value > 0)) throw new DomainError(name, "must be above zero", value);
  const regression = pressureRegression(trials, priors);
  const { pressureBar, targetD50Um } = asked;
  const d50 = pressureBar === null ? notAsked : d50Of(regression, pressureBar, asked);
  const pressure = targetD50Um === null ? notAsked : pressureOf(regression, targetD50Um, asked);
  const refused = [
    ...(d50.refusal === null ? [] : [{ what: "d50Um" as const, ...d50.refusal }]),
    ...(pressure.refusal === null ? [] : [{ what: "pressureBar" as const, ...pressure.refusal }]),
  ];
  const basis = counted(trials.length, "trial");
  const parts = [
    d50.answer === null || pressureBar === null ? "" : d50Part(d50.answer, pressureBar, basis),
    pressure.answer === null || targetD50Um === null ? "" : pressurePart(pressure.answer, targetD50Um, basis),
    refusedText(refused, refusedWords),
  ].filter((p) => p !== "");
  return {
    d50Um: d50.answer,
    pressureBar: pressure.answer,
    refused,
    warnings: regression === null ? [] : warningsOf(regression, asked),
    sentence:
      parts.join(" ") ||
      (regression === null ? `${capital(noTrial.reason)}.` : "Give a pressure or a target D50."),
    problems: [],
  };
}

function d50Of(
  regression: PressureRegression | null,
  pressureBar: number,
  { feedKgPerH, ratedBar }: PressureQuestion,
): GivenPart<SizeInterval> {
  if (regression === null) return refusal(noTrial);
  if (ratedBar !== null && pressureBar > ratedBar)
    return refusal({
      reason: `${figures(pressureBar)} bar is above the rated ${figures(ratedBar)} bar`,
      remedy: "Stay at or below the rating on the plate; ask its maker or your engineer first.",
    });
  const no = tooFar(regression, pressureBar, feedKgPerH) ?? outlierOf(regression);
  return no === null
    ? given(intervalOf(atPressure(regression, pressureBar, feedKgPerH), level))
    : refusal(no);
}

function pressureOf(
  regression: PressureRegression | null,
  targetUm: number,
  { feedKgPerH, ratedBar }: PressureQuestion,
): GivenPart<SuggestedPressure> {
  if (regression === null) return refusal(noTrial);
  if (ratedBar === null) return refusal(noRating);
  const no = outlierOf(regression) ?? tooFar(regression, regression.referenceBar, feedKgPerH);
  if (no !== null) return refusal(no);
  const at = (share: number) =>
    pressureForD50(regression, { d50Um: targetUm, share }, { feedKgPerH, ratedBar });
  const median = at(0.5);
  const { lowestBar, highestBar } = pressureLimits(regression, ratedBar);
  if (median === null)
    return refusal({
      reason: `D50 ${figures(targetUm)} µm is not reached between ${figures(lowestBar)} and ${figures(highestBar)} bar (limits: the rated pressure, and a factor of ${farthestFactor} beyond your trials)`,
      remedy: "Run a trial nearer to it within the rating, change the feed, or choose another target.",
    });
  return given({
    median,
    low: at((1 - level) / 2),
    high: at((1 + level) / 2),
    level,
    reachProbability: chanceBelow(atPressure(regression, highestBar, feedKgPerH), Math.log(targetUm)),
  });
}

const percentOf = (share: number) => `${Math.round(100 * share)} %`;

function d50Part(d50: SizeInterval, pressureBar: number, basis: string): string {
  return `At ${figures(pressureBar)} bar the expected D50 is ${figures(d50.median)} µm (${percentOf(d50.level)}: ${figures(d50.low)}–${figures(d50.high)}; ${basis}).`;
}

function pressurePart(s: SuggestedPressure, targetUm: number, basis: string): string {
  return `Set ${figures(s.median)} bar (${percentOf(s.level)}: ${rangeOf(s)}; ${basis}) for D50 ${figures(targetUm)} µm. At the highest permitted pressure, the chance of reaching this D50 is ${chanceText(s.reachProbability)}.`;
}

/** The range of the required pressure; an end beyond the pressures that the trials support is said to be there. */
function rangeOf({ low, high }: SuggestedPressure): string {
  if (low !== null && high !== null) return `${figures(low)}–${figures(high)} bar`;
  if (high !== null) return `up to ${figures(high)} bar, its lower end below the predictable pressures`;
  if (low !== null) return `from ${figures(low)} bar, its upper end above the highest permitted pressure`;
  return "wider than the predictable pressures at both ends";
}

/** The regression is not trusted more than 1.5 times outside the trials. */
function tooFar(
  regression: PressureRegression,
  pressureBar: number,
  feedKgPerH: number | null,
): Reason | null {
  const far = outsideOf(regression, pressureBar, feedKgPerH).find(
    (f) => f.outside > farthestFactor * (1 + 1e-12),
  );
  return far === undefined
    ? null
    : {
        reason: `the ${far.name} of ${figures(far.value)} ${far.unit} lies a factor of ${far.outside.toFixed(2)} outside your trials`,
        remedy: `Run a trial nearer to it first; predictions reach a factor of ${farthestFactor} beyond the trials.`,
      };
}

function outsideOf({ trials }: PressureRegression, pressureBar: number, feedKgPerH: number | null) {
  const feeds = trials.flatMap((t) => t.feedKgPerH ?? []);
  return [
    { name: "pressure", unit: "bar", value: pressureBar, tried: trials.map((t) => t.pressureBar) },
    ...(feedKgPerH === null || feeds.length === 0
      ? []
      : [{ name: "feed", unit: "kg/h", value: feedKgPerH, tried: feeds }]),
  ].map((f) => ({
    ...f,
    outside: Math.max(1, f.value / maxOf(f.tried), minOf(f.tried) / f.value),
  }));
}

function outlierOf(regression: PressureRegression): Reason | null {
  return contradicting(regression.leaveOneOutZ, (i) => {
    const trial = regression.trials[i];
    return `${trial?.pressureBar} bar, D50 ${trial?.d50Um} µm`;
  });
}

function warningsOf(regression: PressureRegression, { pressureBar, feedKgPerH }: PressureQuestion): string[] {
  const pressures = new Set(regression.trials.map((t) => t.pressureBar));
  return [
    ...(pressures.size === 1
      ? [
          "All trials ran at one pressure, so the effect of pressure on D50 comes from the starting assumption (prior), not from your trials.",
        ]
      : []),
    ...(pressureBar !== null && tooFar(regression, pressureBar, feedKgPerH) === null
      ? outsideOf(regression, pressureBar, feedKgPerH).flatMap((factor) => extrapolationText(factor) ?? [])
      : []),
  ];
}
