import { DomainError } from "#distributions/domainError.ts";
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
import { chanceBelow } from "#model/mill/trials/posterior.ts";
import { contradicting, type Reason } from "#model/mill/trials/refusals.ts";
import { farthestFactor } from "#model/mill/trials/setPoint.ts";
import { intervalOf, type SizeInterval } from "#model/mill/trials/trialFit.ts";
import { chanceText, counted, figures } from "#model/words/wording.ts";

/** What is asked of a mill without a wheel; null where it is not. */
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
  reason: "there is no trial yet, and without a wheel there is no physics to stand in for one",
  remedy: "Enter a trial: its pressure and the D50 that came out.",
};
const noRating: Reason = {
  reason: "no rated pressure is entered",
  remedy: "Take it from the plate of vessel and hoses, or from the limit your engineer set.",
};

/** A jet mill without a wheel, from its own trials alone. @throws DomainError  an entry that is not above zero */
export function pressureAnswer(
  trials: readonly PressureTrial[],
  asked: PressureQuestion,
  believed?: PressurePriors,
): PressureAnswer {
  for (const [name, value] of Object.entries(asked))
    if (value !== null && !(value > 0)) throw new DomainError(name, "must be above zero", value);
  const law = pressureRegression(trials, believed);
  const refused: (Reason & { what: "d50Um" | "pressureBar" })[] = [];
  const { pressureBar, targetD50Um } = asked;
  const d50Um =
    pressureBar === null
      ? null
      : d50Of(law, pressureBar, asked, (no) => refused.push({ what: "d50Um", ...no }));
  const suggested =
    targetD50Um === null
      ? null
      : pressureOf(law, targetD50Um, asked, (no) => refused.push({ what: "pressureBar", ...no }));
  const rests = counted(trials.length, "trial");
  const parts = [
    d50Um === null || pressureBar === null
      ? ""
      : `At ${figures(pressureBar)} bar expect D50 ${figures(d50Um.median)} µm (${figures(d50Um.low)}–${figures(d50Um.high)}, 90 % of runs; ${rests}).`,
    suggested === null || targetD50Um === null ? "" : suggestedPart(suggested, targetD50Um, rests),
    ...refused.map(
      (no) =>
        `${no.what === "d50Um" ? "No D50 is predicted" : "No pressure is suggested"}: ${no.reason}. ${no.remedy}`,
    ),
  ].filter((p) => p !== "");
  return {
    d50Um,
    pressureBar: suggested,
    refused,
    warnings: law === null ? [] : warningsOf(law, asked),
    sentence:
      parts.join(" ") ||
      (law === null ? `${sentenceStart(noTrial.reason)}.` : "Give a pressure or a target D50."),
    problems: [],
  };
}

const sentenceStart = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);

type RefusePressure = (no: Reason) => void;

function d50Of(
  law: PressureRegression | null,
  pressureBar: number,
  { feedKgPerH, ratedBar }: PressureQuestion,
  refuse: RefusePressure,
): SizeInterval | null {
  const no =
    law === null
      ? noTrial
      : ((ratedBar !== null && pressureBar > ratedBar
          ? {
              reason: `${figures(pressureBar)} bar is above the rated ${figures(ratedBar)} bar`,
              remedy:
                "Stay at or below the rating on the plate; ask its maker or your engineer before anything else.",
            }
          : null) ??
        tooFar(law, pressureBar, feedKgPerH) ??
        oddOf(law));
  if (no !== null) refuse(no);
  return law === null || no !== null ? null : intervalOf(atPressure(law, pressureBar, feedKgPerH), level);
}

function pressureOf(
  law: PressureRegression | null,
  targetUm: number,
  { feedKgPerH, ratedBar }: PressureQuestion,
  refuse: RefusePressure,
): SuggestedPressure | null {
  if (law === null || ratedBar === null) {
    refuse(law === null ? noTrial : noRating);
    return null;
  }
  const at = (share: number) => pressureForD50(law, { d50Um: targetUm, share }, { feedKgPerH, ratedBar });
  const no = oddOf(law) ?? tooFar(law, law.referenceBar, feedKgPerH);
  const median = no === null ? at(0.5) : null;
  const { lowestBar, highestBar } = pressureLimits(law, ratedBar);
  if (median === null) {
    refuse(
      no ?? {
        reason: `D50 ${figures(targetUm)} µm is not reached between ${figures(lowestBar)} and ${figures(highestBar)} bar, the rated pressure and ${farthestFactor} times your trials`,
        remedy: "Run a trial nearer to it within the rating, change the feed, or aim elsewhere.",
      },
    );
    return null;
  }
  return {
    median,
    low: at((1 - level) / 2),
    high: at((1 + level) / 2),
    level,
    reachProbability: chanceBelow(atPressure(law, highestBar, feedKgPerH), Math.log(targetUm)),
  };
}

function suggestedPart(s: SuggestedPressure, targetUm: number, rests: string): string {
  const fine =
    s.low === null
      ? "no pressure within the limits keeps 95 % of runs coarser"
      : `at ${figures(s.low)} bar 5 % of runs would already be that fine`;
  const sure =
    s.high === null
      ? "no pressure within the limits brings 95 % there"
      : `at ${figures(s.high)} bar 95 % would be`;
  return `For D50 ${figures(targetUm)} µm run ${figures(s.median)} bar: half of all runs come out finer, half coarser; ${fine}, ${sure} (${rests}). At the highest pressure permitted the chance of reaching it is ${chanceText(s.reachProbability)}.`;
}

/** The law is not believed more than 1.5 times outside the trials. */
function tooFar(law: PressureRegression, pressureBar: number, feedKgPerH: number | null): Reason | null {
  const far = outsideOf(law, pressureBar, feedKgPerH).find((f) => f.outside > farthestFactor * (1 + 1e-12));
  return far === undefined
    ? null
    : {
        reason: `the ${far.name} of ${figures(far.value)} ${far.unit} lies ${far.outside.toFixed(2)} times outside your trials`,
        remedy: `Run a trial nearer to it first; up to ${farthestFactor} times is predicted.`,
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
    outside: Math.max(1, f.value / Math.max(...f.tried), Math.min(...f.tried) / f.value),
  }));
}

function oddOf(law: PressureRegression): Reason | null {
  return contradicting(law.leaveOneOutZ, (i) => {
    const trial = law.trials[i];
    return `${trial?.pressureBar} bar, D50 ${trial?.d50Um} µm`;
  });
}

function warningsOf(law: PressureRegression, { pressureBar, feedKgPerH }: PressureQuestion): string[] {
  const pressures = new Set(law.trials.map((t) => t.pressureBar));
  const outside = pressureBar === null ? [] : outsideOf(law, pressureBar, feedKgPerH);
  return [
    ...(pressures.size === 1
      ? ["All trials ran at one pressure: how D50 moves with it is still the prior, not your data."]
      : []),
    ...outside
      .filter((f) => f.outside > 1)
      .map((f) => `Extrapolates: the ${f.name} lies ${f.outside.toFixed(2)} times outside your trials.`),
  ];
}
