import { DomainError } from "#distributions/domainError.ts";
import type { Problem } from "#distributions/problem.ts";
import type { Mill } from "#model/mill/mill.ts";
import {
  aboveRated,
  oddTrial,
  type Refusal,
  tooFarOutside,
  warningsAt,
} from "#model/mill/trials/refusals.ts";
import { type SuggestedSpeed, speedForD50, speedLimits } from "#model/mill/trials/setPoint.ts";
import type { Trial } from "#model/mill/trials/trial.ts";
import {
  fitTrials,
  predictD50,
  type Setting,
  type SizeInterval,
  type TrialFit,
} from "#model/mill/trials/trialFit.ts";
import { tipSpeedMPerS, wheelCut } from "#model/mill/wheel/cut.ts";
import { chanceText, counted, figures } from "./wording.ts";

export interface WheelOptions {
  readonly speedRpm?: number;
  /** At the wheel; the mill's own when left out. */
  readonly flowM3PerH?: number;
  /** The trials' geometric mean when left out. */
  readonly feedKgPerH?: number;
  readonly targetD50Um?: number;
  /** Chance that the interval holds the next run; 0.9 when left out. */
  readonly level?: number;
}

export interface WheelAnswer {
  readonly cutUm: number | null;
  readonly stokesCutUm: number | null;
  readonly tipSpeedMPerS: number | null;
  readonly d50Um: SizeInterval | null;
  readonly speedRpm: SuggestedSpeed | null;
  readonly basis: "trials" | "prior";
  readonly warnings: readonly string[];
  readonly refused: readonly Refusal[];
  readonly sentence: string;
  readonly problems: readonly Problem[];
}

/** The law learned from the trials, or null where there is nothing to learn from or refer to. */
export function trialFitOf(mill: Mill, trials: readonly Trial[]): TrialFit | null {
  return trials.length === 0 && mill.ratedSpeedRpm === null ? null : fitTrials(mill, trials);
}

/** Cut size, D50 and set point. @throws DomainError  a setting or level out of range */
export function wheelAnswer(mill: Mill, trials: readonly Trial[], options: WheelOptions): WheelAnswer {
  return wheelAnswerFrom(mill, trialFitOf(mill, trials), options);
}

/** The same from a law already learned: what a slider calls. */
export function wheelAnswerFrom(mill: Mill, fit: TrialFit | null, options: WheelOptions): WheelAnswer {
  const { speedRpm, targetD50Um, level = 0.9 } = options;
  if (!(level > 0 && level < 1)) throw new DomainError("level", "must lie between 0 and 1", level);
  const at = {
    flowM3PerH: options.flowM3PerH ?? mill.gasFlowM3PerH,
    feedKgPerH: options.feedKgPerH ?? fit?.reference.feedKgPerH ?? null,
  };
  if (!(at.flowM3PerH > 0)) throw new DomainError("flowM3PerH", "must be above zero", at.flowM3PerH);
  if (at.feedKgPerH !== null && !(at.feedKgPerH > 0))
    throw new DomainError("feedKgPerH", "must be above zero", at.feedKgPerH);
  if (targetD50Um !== undefined && !(targetD50Um > 0))
    throw new DomainError("targetD50Um", "must be above zero", targetD50Um);
  const cut = speedRpm === undefined ? null : wheelCut(mill, speedRpm, at.flowM3PerH);
  const refused: Refusal[] = [];
  const d50Um = speedRpm === undefined ? null : d50Of(mill, fit, { ...at, speedRpm }, level, refused);
  const speed = targetD50Um === undefined ? null : speedOf(mill, fit, targetD50Um, at, level, refused);
  const answer = {
    cutUm: cut?.cutUm ?? null,
    stokesCutUm: cut?.stokesCutUm ?? null,
    tipSpeedMPerS: speedRpm === undefined ? null : tipSpeedMPerS(mill, speedRpm),
    d50Um,
    speedRpm: speed,
    basis: fit?.basis ?? ("prior" as const),
    warnings: fit === null ? [] : warningsOf(fit, at, speedRpm, d50Um, speed, targetD50Um),
    refused,
  };
  return { ...answer, sentence: sentenceOf(answer, fit, options), problems: [] };
}

function warningsOf(
  fit: TrialFit,
  at: Omit<Setting, "speedRpm">,
  speedRpm: number | undefined,
  d50Um: SizeInterval | null,
  speed: SuggestedSpeed | null,
  targetD50Um: number | undefined,
): string[] {
  const atSpeed =
    speedRpm === undefined
      ? warningsAt(fit, null, null)
      : warningsAt(fit, { ...at, speedRpm }, d50Um?.median ?? null);
  const atTarget =
    speed === null ? [] : warningsAt(fit, { ...at, speedRpm: speed.median }, targetD50Um ?? null);
  return [...new Set([...atSpeed, ...atTarget])];
}

const noReference = {
  reason: "there are no trials and no rated speed to refer to",
  remedy: "Enter the rated speed from the machine's plate, or a trial.",
};

function d50Of(
  mill: Mill,
  fit: TrialFit | null,
  setting: Setting,
  level: number,
  refused: Refusal[],
): SizeInterval | null {
  const no =
    fit === null
      ? noReference
      : (aboveRated(mill, setting.speedRpm) ?? tooFarOutside(fit, setting) ?? oddTrial(fit));
  if (fit === null || no !== null) {
    refused.push({ what: "d50Um", ...(no ?? noReference) });
    return null;
  }
  return predictD50(fit, setting, level);
}

function speedOf(
  mill: Mill,
  fit: TrialFit | null,
  targetUm: number,
  at: Omit<Setting, "speedRpm">,
  level: number,
  refused: Refusal[],
): SuggestedSpeed | null {
  const refuse = (reason: { readonly reason: string; readonly remedy: string }) => {
    refused.push({ what: "speedRpm", ...reason });
    return null;
  };
  if (mill.ratedSpeedRpm === null) {
    return refuse({
      reason: "no rated speed is entered for this mill, so no speed is suggested",
      remedy: "Take it from the machine's plate, or from the limit your engineer set.",
    });
  }
  if (fit === null) return refuse(noReference);
  const limits = speedLimits(fit, mill.ratedSpeedRpm);
  const no = oddTrial(fit) ?? tooFarOutside(fit, { ...at, speedRpm: fit.reference.speedRpm });
  if (no !== null) return refuse(no);
  const speed = speedForD50(fit, targetUm, at, mill.ratedSpeedRpm, level);
  if (speed !== null) return speed;
  const whole = (value: number) => Math.round(value).toLocaleString("en-GB");
  const fastest =
    limits.highestRpm > limits.lowestRpm
      ? predictD50(fit, { ...at, speedRpm: limits.highestRpm }, level).median
      : null;
  const isTooFine = fastest === null || fastest > targetUm;
  return refuse(
    isTooFine
      ? {
          reason: `D50 ${figures(targetUm)} µm is not reached by ${whole(limits.highestRpm)} rpm, ${limits.highestRpm >= mill.ratedSpeedRpm ? "the rated speed" : `${"1.5"} times the fastest trial`}`,
          remedy: "Lower the gas flow or the feed, run faster trials within the rating, or aim coarser.",
        }
      : {
          reason: `D50 ${figures(targetUm)} µm would need less than ${whole(limits.lowestRpm)} rpm, too far below your trials`,
          remedy: "Run a slower trial first, or aim finer.",
        },
  );
}

function sentenceOf(
  a: Omit<WheelAnswer, "sentence" | "problems">,
  fit: TrialFit | null,
  options: WheelOptions,
): string {
  const whole = (value: number) => Math.round(value).toLocaleString("en-GB");
  const rests = a.basis === "trials" ? counted(fit?.trials.length ?? 0, "trial") : "a prior, no trials";
  const parts: string[] = [];
  if (a.d50Um !== null && options.speedRpm !== undefined) {
    parts.push(
      `At ${whole(options.speedRpm)} rpm expect D50 ${figures(a.d50Um.median)} µm (${figures(a.d50Um.low)}–${figures(a.d50Um.high)}, ${Math.round(100 * a.d50Um.level)} % of runs; ${rests}).`,
    );
  }
  if (a.speedRpm !== null && options.targetD50Um !== undefined) {
    const { median, low, high, reachProbability } = a.speedRpm;
    const interval = `${low === null ? "below the limits" : whole(low)}–${high === null ? "beyond the limits" : whole(high)}`;
    parts.push(
      `For D50 ${figures(options.targetD50Um)} µm run ${whole(median)} rpm (${interval}; ${rests}); the rated speed reaches it with a chance of ${chanceText(reachProbability)}.`,
    );
  }
  for (const no of a.refused)
    parts.push(
      `${no.what === "d50Um" ? "No D50 is predicted" : "No speed is suggested"}: ${no.reason}. ${no.remedy}`,
    );
  if (a.cutUm !== null && a.stokesCutUm !== null)
    parts.push(`By physics alone the wheel cuts near ${figures(a.cutUm)} µm.`);
  return parts.join(" ") || "Nothing was asked: give a speed or a target D50.";
}
