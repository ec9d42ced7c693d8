import type { Curve } from "#distributions/curve.ts";
import { DomainError } from "#distributions/domainError.ts";
import type { Problem } from "#distributions/problem.ts";
import type { Mill } from "#model/mill/mill.ts";
import { type FittedMill, fitMill } from "#model/mill/prediction/fittedMill.ts";
import { predictedProductAt } from "#model/mill/prediction/predictedProduct.ts";
import {
  milledSizes,
  type PredictedRefired,
  type PredictedSizes,
  refiredSizes,
  targetRows,
} from "#model/mill/prediction/predictedSizes.ts";
import { meanShift, type RefiringPair } from "#model/mill/prediction/refiringGrowth.ts";
import type { Priors } from "#model/mill/trials/priors.ts";
import {
  aboveRated,
  belowGrindingLimit,
  noRating,
  noReference,
  notReached,
  oddTrial,
  type Reason,
  type Refusal,
  tooFarOutside,
  warningsAt,
} from "#model/mill/trials/refusals.ts";
import { type SuggestedSpeed, speedForD50 } from "#model/mill/trials/setPoint.ts";
import type { Trial } from "#model/mill/trials/trial.ts";
import { predictD50, type Setting } from "#model/mill/trials/trialFit.ts";
import { tipSpeedMPerS, wheelCut } from "#model/mill/wheel/cut.ts";
import { inBandOf } from "./inBandAnswer.ts";
import type { WheelAnswer, WheelOptions } from "./wheelQuestion.ts";
import { notRefired, wheelSentence, wheelWords } from "./wheelSentence.ts";

/** Cut size, product, chance in band and set point. @throws DomainError  a setting or level out of range */
export function wheelAnswer(
  mill: Mill,
  trials: readonly Trial[],
  options: WheelOptions & {
    readonly refire?: readonly RefiringPair[];
    /** Whole curves of the trials' products. */
    readonly curves?: readonly Curve[];
    readonly believed?: Priors;
  },
): WheelAnswer {
  return wheelAnswerFrom(
    mill,
    fitMill(mill, trials, { pairs: options.refire, believed: options.believed, curves: options.curves }),
    options,
  );
}

/** The same from what was already learned: what a slider calls. @throws DomainError  a setting or level out of range */
export function wheelAnswerFrom(mill: Mill, learned: FittedMill | null, options: WheelOptions): WheelAnswer {
  const { speedRpm, targetD50Um, band, level = 0.9 } = options;
  const at = {
    flowM3PerH: options.flowM3PerH ?? mill.gasFlowM3PerH,
    feedKgPerH: options.feedKgPerH ?? learned?.fit.reference.feedKgPerH ?? null,
  };
  mustBePositive("flowM3PerH", at.flowM3PerH);
  mustBePositive("feedKgPerH", at.feedKgPerH ?? undefined);
  mustBePositive("targetD50Um", targetD50Um);
  if (!(level > 0 && level < 1)) throw new DomainError("level", "must lie between 0 and 1", level);

  const refused: Refusal[] = [];
  const setting = speedRpm === undefined ? null : { ...at, speedRpm };
  const isPredicted = setting !== null && canPredict(mill, learned, setting, refused);
  const sizes =
    isPredicted && learned !== null ? productOf(learned, setting, level) : { milled: null, refired: null };
  const speed = targetD50Um === undefined ? null : speedOf(mill, learned, targetD50Um, at, level, refused);
  const cut = setting === null ? null : wheelCut(mill, setting.speedRpm, at.flowM3PerH);
  const problems: Problem[] = [];
  const inBand =
    band === undefined || learned === null
      ? null
      : inBandOf(
          options.wantsBest === false ? null : mill.ratedSpeedRpm,
          learned,
          band,
          isPredicted ? setting : null,
          at.feedKgPerH,
          problems,
          options.judged,
        );
  const answer = {
    cutUm: cut?.cutUm ?? null,
    stokesCutUm: cut?.stokesCutUm ?? null,
    tipSpeedMPerS: setting === null ? null : tipSpeedMPerS(mill, setting.speedRpm),
    d50Um: sizes.milled?.d50Um ?? null,
    d10Um: sizes.milled?.d10Um ?? null,
    d90Um: sizes.milled?.d90Um ?? null,
    refired: sizes.refired,
    speedRpm: speed,
    inBand,
    targetBeforeRefiring: band === undefined || learned === null ? [] : targetRows(learned, band),
    basis: learned?.fit.basis ?? ("prior" as const),
    warnings:
      learned === null
        ? []
        : warningsOf(mill, learned, at, isPredicted ? setting : null, sizes.milled, speed, options),
    refused,
  };
  const words = wheelWords(answer, learned, options);
  return { ...answer, words, sentence: wheelSentence(words), problems };
}

function mustBePositive(name: string, value: number | undefined): void {
  if (value !== undefined && !(value > 0)) throw new DomainError(name, "must be above zero", value);
}

function canPredict(mill: Mill, learned: FittedMill | null, setting: Setting, refused: Refusal[]): boolean {
  const no =
    learned === null
      ? noReference
      : (aboveRated(mill, setting.speedRpm) ?? tooFarOutside(learned.fit, setting) ?? oddTrial(learned.fit));
  const why =
    no ?? (learned === null ? null : belowGrindingLimit(mill, predictD50(learned.fit, setting, 0.5).median));
  if (why !== null) refused.push({ what: "d50Um", ...why });
  return why === null;
}

function productOf(
  learned: FittedMill,
  setting: Setting,
  level: number,
): { milled: PredictedSizes; refired: PredictedRefired | null } {
  return { milled: milledSizes(learned, setting, level), refired: refiredSizes(learned, setting, level) };
}

function speedOf(
  mill: Mill,
  learned: FittedMill | null,
  targetUm: number,
  at: Omit<Setting, "speedRpm">,
  level: number,
  refused: Refusal[],
): SuggestedSpeed | null {
  const refuse = (reason: Reason) => {
    refused.push({ what: "speedRpm", ...reason });
    return null;
  };
  if (mill.ratedSpeedRpm === null) return refuse(noRating);
  if (learned === null) return refuse(noReference);
  const { fit, thin, aim } = learned;
  const milledTarget = aim === null ? targetUm : targetUm / Math.exp(meanShift(aim.shift, 50));
  const no =
    oddTrial(fit) ??
    tooFarOutside(fit, { ...at, speedRpm: fit.reference.speedRpm }) ??
    belowGrindingLimit(mill, milledTarget);
  if (no !== null) return refuse(no);
  const d50At =
    aim === null
      ? undefined
      : (setting: Setting) =>
          predictedProductAt({ ...thin, coarseWidth: null, fineWidth: null }, setting, aim).d50;
  return (
    speedForD50(fit, targetUm, at, mill.ratedSpeedRpm, level, d50At) ??
    refuse(notReached(fit, targetUm, at, mill.ratedSpeedRpm, d50At))
  );
}

function warningsOf(
  mill: Mill,
  { fit, aim }: FittedMill,
  at: Omit<Setting, "speedRpm">,
  setting: Setting | null,
  milled: PredictedSizes | null,
  speed: SuggestedSpeed | null,
  { band, targetD50Um }: WheelOptions,
): string[] {
  const hasLimit = mill.grindingLimitUm != null;
  const atSpeed = warningsAt(fit, hasLimit, setting, milled?.d50Um.median ?? null);
  const atTarget =
    speed === null ? [] : warningsAt(fit, hasLimit, { ...at, speedRpm: speed.median }, targetD50Um ?? null);
  const ofStage =
    aim === null && band !== undefined && band.stage !== "milled" ? [notRefired(band, milled)] : [];
  return [...new Set([...ofStage, ...atSpeed, ...atTarget])];
}
