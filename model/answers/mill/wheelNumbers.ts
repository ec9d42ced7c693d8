import { DomainError } from "#distributions/domainError.ts";
import type { Mill } from "#model/mill/mill.ts";
import type { FittedMill } from "#model/mill/prediction/fittedMill.ts";
import { predictedProductAt } from "#model/mill/prediction/predictedProduct.ts";
import {
  milledSizes,
  type PredictedRefired,
  type PredictedSizes,
  refiredSizes,
} from "#model/mill/prediction/predictedSizes.ts";
import { meanShift } from "#model/mill/prediction/refiringGrowth.ts";
import { growthFor, targetBeforeRefiring } from "#model/mill/prediction/targetBeforeRefiring.ts";
import {
  aboveRated,
  belowGrindingLimit,
  noRating,
  noReference,
  notReached,
  oddTrial,
  tooFarOutside,
  warningsAt,
} from "#model/mill/trials/refusals.ts";
import { type SuggestedSpeed, speedForD50 } from "#model/mill/trials/setPoint.ts";
import { predictD50, type Setting } from "#model/mill/trials/trialFit.ts";
import { tipSpeedMPerS, wheelCut } from "#model/mill/wheel/cut.ts";
import { type GivenPart, given, notAsked, refusal } from "./given.ts";
import { inBandOf } from "./inBandAnswer.ts";
import { notRefired } from "./wheelHeadline.ts";
import type { WheelNumbers, WheelOptions } from "./wheelQuestion.ts";

/**
 * Cut size, product, chance in band and set point from a mill that is fitted already, without words: what a slider calls.
 *
 * @throws DomainError  a setting or level out of range
 */
export function wheelNumbersFrom(mill: Mill, fitted: FittedMill | null, options: WheelOptions): WheelNumbers {
  const { speedRpm, targetD50Um, band, level = 0.9 } = options;
  const at = {
    flowM3PerH: options.flowM3PerH ?? mill.gasFlowM3PerH,
    feedKgPerH: options.feedKgPerH ?? fitted?.fit.reference.feedKgPerH ?? null,
  };
  mustBePositive("flowM3PerH", at.flowM3PerH);
  mustBePositive("feedKgPerH", at.feedKgPerH ?? undefined);
  mustBePositive("targetD50Um", targetD50Um);
  if (!(level > 0 && level < 1)) throw new DomainError("level", "must lie between 0 and 1", level);

  const setting = speedRpm === undefined ? null : { ...at, speedRpm };
  const product = setting === null ? notAsked : productOf(mill, fitted, setting, level);
  const speed =
    targetD50Um === undefined ? notAsked : speedOf(mill, fitted, { targetUm: targetD50Um, at, level, band });
  const predicted = product.answer === null ? null : setting;
  const cut = setting === null ? null : wheelCut(mill, setting.speedRpm, at.flowM3PerH);
  const { inBand, problems } =
    band === undefined || fitted === null
      ? { inBand: null, problems: [] }
      : inBandOf(fitted, {
          band,
          ratedSpeedRpm: options.wantsBest === false ? null : mill.ratedSpeedRpm,
          setting: predicted,
          feedKgPerH: at.feedKgPerH,
          judged: options.judged,
        });
  const milled = product.answer?.milled;
  return {
    cutUm: cut?.cutUm ?? null,
    stokesCutUm: cut?.stokesCutUm ?? null,
    tipSpeedMPerS: setting === null ? null : tipSpeedMPerS(mill, setting.speedRpm),
    d50Um: milled?.d50Um ?? null,
    d10Um: milled?.d10Um ?? null,
    d90Um: milled?.d90Um ?? null,
    refired: product.answer?.refired ?? null,
    speedRpm: speed.answer,
    inBand,
    targetBeforeRefiring:
      band === undefined || fitted === null ? [] : targetBeforeRefiring(fitted.growth, band),
    basis: fitted?.fit.basis ?? ("prior" as const),
    warnings:
      fitted === null
        ? []
        : warningsOf(
            mill,
            fitted,
            { at, setting: predicted, milled: milled ?? null, speed: speed.answer },
            options,
          ),
    refused: [
      ...(product.refusal === null ? [] : [{ what: "d50Um" as const, ...product.refusal }]),
      ...(speed.refusal === null ? [] : [{ what: "speedRpm" as const, ...speed.refusal }]),
    ],
    problems,
  };
}

function mustBePositive(name: string, value: number | undefined): void {
  if (value !== undefined && !(value > 0)) throw new DomainError(name, "must be above zero", value);
}

interface Product {
  readonly milled: PredictedSizes;
  readonly refired: PredictedRefired | null;
}

function productOf(
  mill: Mill,
  fitted: FittedMill | null,
  setting: Setting,
  level: number,
): GivenPart<Product> {
  if (fitted === null) return refusal(noReference);
  const no =
    aboveRated(mill, setting.speedRpm) ??
    tooFarOutside(fitted.fit, setting) ??
    oddTrial(fitted.fit) ??
    belowGrindingLimit(mill, predictD50(fitted.fit, setting, 0.5).median);
  if (no !== null) return refusal(no);
  return given({
    milled: milledSizes(fitted, setting, level),
    refired: refiredSizes(fitted, setting, level),
  });
}

interface SpeedQuestion {
  readonly targetUm: number;
  readonly at: Omit<Setting, "speedRpm">;
  readonly level: number;
  readonly band: WheelOptions["band"];
}

/** What re-firing adds to the powder that is asked about: nothing where the band is for the milled powder itself. */
function countedGrowth({ growth }: FittedMill, band: WheelOptions["band"]) {
  return band === undefined ? growth : growthFor(growth, band);
}

/** The D50 that the milled powder must have for a D50 of the powder asked about. */
function milledTarget(targetUm: number, growth: FittedMill["growth"]): number {
  return growth === null ? targetUm : targetUm / Math.exp(meanShift(growth.shift, 50));
}

function speedOf(
  mill: Mill,
  fitted: FittedMill | null,
  { targetUm, at, level, band }: SpeedQuestion,
): GivenPart<SuggestedSpeed> {
  if (mill.ratedSpeedRpm === null) return refusal(noRating);
  if (fitted === null) return refusal(noReference);
  const { fit, thin } = fitted;
  const growth = countedGrowth(fitted, band);
  const no =
    oddTrial(fit) ??
    tooFarOutside(fit, { ...at, speedRpm: fit.reference.speedRpm }) ??
    belowGrindingLimit(mill, milledTarget(targetUm, growth));
  if (no !== null) return refusal(no);
  const d50At =
    growth === null
      ? undefined
      : (setting: Setting) =>
          predictedProductAt({ ...thin, coarseWidth: null, fineWidth: null }, setting, growth).d50;
  const answer = speedForD50(fit, targetUm, at, mill.ratedSpeedRpm, level, d50At);
  return answer === null ? refusal(notReached(fit, targetUm, at, mill.ratedSpeedRpm, d50At)) : given(answer);
}

interface Predicted {
  readonly at: Omit<Setting, "speedRpm">;
  readonly setting: Setting | null;
  readonly milled: PredictedSizes | null;
  readonly speed: SuggestedSpeed | null;
}

function warningsOf(
  mill: Mill,
  fitted: FittedMill,
  { at, setting, milled, speed }: Predicted,
  { band, targetD50Um }: WheelOptions,
): string[] {
  const { fit } = fitted;
  const growth = countedGrowth(fitted, band);
  const hasLimit = mill.grindingLimitUm != null;
  const target = targetD50Um === undefined ? null : milledTarget(targetD50Um, growth);
  const atSpeed = warningsAt(fit, hasLimit, milled === null ? null : setting, milled?.d50Um.median ?? null);
  const atTarget = speed === null ? [] : warningsAt(fit, hasLimit, { ...at, speedRpm: speed.median }, target);
  const ofStage =
    growth === null && band !== undefined && band.stage !== "milled" ? [notRefired(band, milled)] : [];
  return [...new Set([...ofStage, ...atSpeed, ...atTarget])];
}
