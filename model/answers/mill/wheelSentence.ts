import { insideSentence } from "#model/band/limits.ts";
import type { FittedMill } from "#model/mill/prediction/fittedMill.ts";
import type { PredictedRefired } from "#model/mill/prediction/predictedSizes.ts";
import type { SizeInterval } from "#model/mill/trials/trialFit.ts";
import { bandChance, capital, chanceText, counted, figures, listed } from "#model/words/wording.ts";
import type { InBand } from "./inBandAnswer.ts";
import {
  basisWords,
  between,
  levelled,
  outlierPart,
  refusedWords,
  shortWords,
  targetWords,
  whole,
} from "./wheelHeadline.ts";
import type { WheelNumbers, WheelOptions, WheelWords } from "./wheelQuestion.ts";

/** What a wheel plan says, in parts: each may be empty where it does not apply. */
export function wheelWords(
  a: Omit<WheelNumbers, "problems">,
  fitted: FittedMill | null,
  options: WheelOptions,
): WheelWords {
  const basis = basisWords(fitted, a.basis);
  return {
    short: shortWords(a, options),
    rests: restsWords(a, fitted, options),
    product: together([
      a.d50Um !== null && options.speedRpm !== undefined ? milledPart(options.speedRpm, a.d50Um, basis) : "",
      a.refired === null ? "" : refiredPart(a.refired),
      a.refired === null || a.d50Um === null ? "" : refiringDoubt(a.refired, a.d50Um),
      inBandPart(a, options),
    ]),
    target: targetWords(a, fitted, options),
    refused: refusedWords(a),
    physics: physicsWords(a),
  };
}

/** The parts as one text. */
export function wheelSentence({
  product,
  target,
  refused,
  physics,
}: Omit<WheelWords, "short" | "rests">): string {
  return together([product, target, refused, physics]) || "Give a wheel speed or a target D50.";
}

function together(parts: readonly string[]): string {
  return parts.filter((part) => part !== "").join(" ");
}

function milledPart(speedRpm: number, d50: SizeInterval, basis: string): string {
  return `At ${whole(speedRpm)} rpm the expected D50 of the milled powder is ${figures(d50.median)} µm (${levelled(d50)}; ${basis}).`;
}

function growthWords({ growth, lots }: PredictedRefired): string {
  const change = 100 * (growth.d50 - 1);
  return `re-firing ${change >= 0 ? "raised" : "lowered"} the D50 of ${counted(lots, "lot")} by ${figures(Math.abs(change), 2)} % on average`;
}

/** How much wider the re-fired interval must be than the milled one before re-firing counts as the larger uncertainty. */
const largerDoubt = 1.5;

/** A ratio as a change in per cent, with its sign. */
const changed = (ratio: number) => `${ratio < 1 ? "−" : "+"}${figures(Math.abs(100 * (ratio - 1)), 2)}`;

/** Which lot is an outlier on re-firing, or that re-firing is the larger uncertainty, and what narrows it; else nothing. */
function refiringDoubt(
  { d50Um, hasSpread, growthRange, odd }: PredictedRefired,
  milled: SizeInterval,
): string {
  if (odd !== null)
    return `${odd.lot} is an outlier: re-firing changed its D${odd.percent} by ${changed(odd.growth)} %, that of the other lots by ${changed(odd.others.least)} to ${changed(odd.others.most)} %. If it was fired differently, exclude it to tighten the prediction.`;
  const width = ({ low, high }: SizeInterval) => Math.log(high / low);
  if (!hasSpread || width(d50Um) <= largerDoubt * width(milled)) return "";
  const { least, most } = growthRange;
  const range = (of: "d50" | "d90") => [least, most].map((growth) => changed(growth[of])).join(" to ");
  return `Re-firing is the largest source of uncertainty: it changed the D50 of these lots by ${range("d50")} % and their D90 by ${range("d90")} %. Measure more lots at both stages, and exclude lots that were fired differently.`;
}

const millAlone =
  "from the scatter of the mill alone, since the scatter of re-firing needs at least three lots";

function refiredPart(refired: PredictedRefired): string {
  const { d50Um, hasSpread } = refired;
  const interval = between(d50Um);
  return `After re-firing the expected D50 is ${figures(d50Um.median)} µm (${interval}${hasSpread ? "" : `, ${millAlone}`}): ${growthWords(refired)}.`;
}

/** What the short answer rests on, without repeating it. */
export function restsWords(
  { d50Um, refired, inBand, basis }: Pick<WheelNumbers, "d50Um" | "refired" | "inBand" | "basis">,
  fitted: FittedMill | null,
  { band }: WheelOptions,
): string {
  if (d50Um === null) return "";
  const fired =
    refired === null
      ? ""
      : `${capital(growthWords(refired))}${refired.hasSpread ? "" : `; the interval is ${millAlone}`}.`;
  const counts =
    inBand === null || inBand.probability === null || band === undefined
      ? ""
      : `The ${bandChance} covers ${rowNames(inBand)}${leastPart(inBand)}.`;
  return together([
    `Based on: ${basisWords(fitted, basis)}.`,
    fired,
    refired === null ? "" : refiringDoubt(refired, d50Um),
    counts,
  ]);
}

function rowNames({ counted: rows }: InBand): string {
  return listed(rows.map(insideSentence));
}

function inBandPart(
  { inBand, refired }: Pick<WheelNumbers, "inBand" | "refired">,
  { band }: WheelOptions,
): string {
  if (inBand === null || inBand.probability === null || band === undefined) return "";
  const product = band.stage !== "milled" && refired === null ? "milled" : band.stage;
  return `For the ${product === "" ? "" : `${product} `}powder, the ${bandChance} is ${chanceText(inBand.probability)}${outlierPart(inBand)} (${rowNames(inBand)})${leastPart(inBand)}.`;
}

function leastPart({ leastLikely }: InBand): string {
  return leastLikely === null
    ? ""
    : `; the least likely limit is ${insideSentence(leastLikely.name)} with ${chanceText(leastLikely.probability)}`;
}

/** The calculated cut, and how far the product lies from it. */
export function physicsWords({ cutUm, d50Um: d50 }: Pick<WheelNumbers, "cutUm" | "d50Um">): string {
  if (cutUm === null) return "";
  const cut = `The calculated classifier cut is ${figures(cutUm)} µm`;
  return d50 === null
    ? `${cut}; it does not tell how finely the mill grinds.`
    : `${cut}. The product's D50 is ${figures(d50.median / cutUm, 2)} times the cut.`;
}
