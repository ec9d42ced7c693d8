import type { Band } from "#model/band/band.ts";
import { insideSentence } from "#model/band/limits.ts";
import type { FittedMill } from "#model/mill/prediction/fittedMill.ts";
import type { PredictedRefired, PredictedSizes } from "#model/mill/prediction/predictedSizes.ts";
import type { SizeInterval } from "#model/mill/trials/trialFit.ts";
import {
  bandChance,
  bandChanceText,
  capital,
  chanceText,
  counted,
  figures,
  listed,
} from "#model/words/wording.ts";
import type { InBand } from "./inBandAnswer.ts";
import { refusedText } from "./refusedText.ts";
import type { WheelAnswer, WheelOptions, WheelWords } from "./wheelQuestion.ts";

const whole = (value: number) => Math.round(value).toLocaleString("en-GB");

/** A speed that is advised: to three figures, since its interval is wider than the fourth. */
const inThree = (value: number) => whole(Number(value.toPrecision(3)));

/** From here on the rated speed is not mentioned: nobody needs to go near it. */
const surelyReached = 0.99;

const between = ({ low, high }: { low: number; high: number }) => `${figures(low)}–${figures(high)}`;

/** What a wheel plan says, in parts: each may be empty where it does not apply. */
export function wheelWords(
  a: Omit<WheelAnswer, "sentence" | "words" | "problems">,
  fitted: FittedMill | null,
  options: WheelOptions,
): WheelWords {
  const basis =
    fitted === null || a.basis === "prior"
      ? "starting assumption (prior) alone, no trials"
      : counted(fitted.fit.trials.length, "trial");
  return {
    short: shortPart(a, options),
    rests: basisPart(a, options, basis),
    product: together([
      a.d50Um !== null && options.speedRpm !== undefined ? milledPart(options.speedRpm, a.d50Um, basis) : "",
      a.refired === null ? "" : refiredPart(a.refired),
      a.refired === null || a.d50Um === null ? "" : refiringDoubt(a.refired, a.d50Um),
      inBandPart(a, options),
    ]),
    target: speedPart(a, fitted, options, basis),
    refused: refusedText(a.refused, refusedWords),
    physics: a.cutUm === null ? "" : physicsPart(a.cutUm, a.d50Um),
  };
}

const refusedWords = {
  one: { d50Um: "No D50 is predicted", speedRpm: "No speed is suggested" },
  both: "No D50 is predicted and no speed suggested",
};

/** The headline: two sizes with their intervals, and the chance of being in band. */
function shortPart(
  { d50Um, refired, inBand }: Pick<WheelAnswer, "d50Um" | "refired" | "inBand">,
  { speedRpm }: WheelOptions,
): string {
  if (d50Um === null || speedRpm === undefined) return "";
  const sizes = [
    `${figures(d50Um.median)} µm milled (${levelled(d50Um)})`,
    ...(refired === null ? [] : [`${figures(refired.d50Um.median)} µm re-fired (${between(refired.d50Um)})`]),
  ];
  const chance =
    inBand === null || inBand.probability === null
      ? ""
      : `; ${bandChanceText(inBand.probability)}${outlierPart(inBand)}`;
  return `Expected D50 at ${whole(speedRpm)} rpm: ${sizes.join(" and ")}${chance}.`;
}

/** A lot that moves the chance by less is not named with it. */
const moves = 0.05;

/** ", 73 % without lot 12, an outlier on re-firing" where that one lot makes the chance what it is. */
function outlierPart({ probability, withoutOutlier: other }: InBand): string {
  return probability === null || other === null || Math.abs(other.probability - probability) < moves
    ? ""
    : `, ${chanceText(other.probability)} without ${other.lot}, an outlier on re-firing`;
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

/** "90 %: 3.21–3.45" */
const levelled = (of: SizeInterval) => `${percentOf(of)}: ${between(of)}`;

const percentOf = ({ level }: { level: number }) => `${Math.round(100 * level)} %`;

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
function basisPart(
  { d50Um, refired, inBand }: Pick<WheelAnswer, "d50Um" | "refired" | "inBand">,
  { band }: WheelOptions,
  basis: string,
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
    `Based on: ${basis}.`,
    fired,
    refired === null ? "" : refiringDoubt(refired, d50Um),
    counts,
  ]);
}

function rowNames({ counted: rows }: InBand): string {
  return listed(rows.map(insideSentence));
}

function inBandPart(
  { inBand, refired }: Pick<WheelAnswer, "inBand" | "refired">,
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

function speedPart(
  { speedRpm: speed }: Pick<WheelAnswer, "speedRpm">,
  fitted: FittedMill | null,
  { targetD50Um }: WheelOptions,
  basis: string,
): string {
  if (speed === null || targetD50Um === undefined) return "";
  const product = fitted?.growth == null ? "milled" : "re-fired";
  const reached =
    surelyReached <= speed.reachProbability
      ? ""
      : ` At the rated speed, the chance of reaching this D50 is ${chanceText(speed.reachProbability)}.`;
  return `Set ${inThree(speed.median)} rpm (${percentOf(speed)}: ${rangeOf(speed)}; ${basis}) for D50 ${figures(targetD50Um)} µm ${product}.${reached}`;
}

/** The range of the required speed; an end beyond the speeds that the trials support is said to be there. */
function rangeOf({ low, high }: { readonly low: number | null; readonly high: number | null }): string {
  if (low !== null && high !== null) return `${inThree(low)}–${inThree(high)} rpm`;
  if (high !== null) return `up to ${inThree(high)} rpm, its lower end below the predictable speeds`;
  if (low !== null) return `from ${inThree(low)} rpm, its upper end above the highest permitted speed`;
  return "wider than the predictable speeds at both ends";
}

function physicsPart(cutUm: number, d50: SizeInterval | null): string {
  const cut = `The calculated classifier cut is ${figures(cutUm)} µm`;
  return d50 === null
    ? `${cut}; it does not tell how finely the mill grinds.`
    : `${cut}. The product's D50 is ${figures(d50.median / cutUm, 2)} times the cut.`;
}

/** What is not known where no lot shows what re-firing adds, and how much growth the band allows. */
export function notRefired(band: Band, milled: PredictedSizes | null): string {
  const row = band.rows.find((r) => r.limit === "d50Um");
  const plain = `The band is for ${band.stage} powder, but no saved lot has both milled and re-fired runs: how much re-firing coarsens the powder is not known.`;
  if (milled === null || row?.high == null) return plain;
  const room = row.high / milled.d50Um.median - 1;
  return room > 0
    ? `${plain} D50 would leave the band if it grew by more than ${figures(100 * room, 2)} %.`
    : `${plain} The D50 of the milled powder is already above the band.`;
}
