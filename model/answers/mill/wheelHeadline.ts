import type { Band } from "#model/band/band.ts";
import type { FittedMill } from "#model/mill/prediction/fittedMill.ts";
import type { PredictedSizes } from "#model/mill/prediction/predictedSizes.ts";
import type { SizeInterval } from "#model/mill/trials/trialFit.ts";
import { bandChanceText, chanceText, counted, figures } from "#model/words/wording.ts";
import type { InBand } from "./inBandAnswer.ts";
import { refusedText } from "./refusedText.ts";
import type { WheelNumbers, WheelOptions } from "./wheelQuestion.ts";

export const whole = (value: number) => Math.round(value).toLocaleString("en-GB");

/** A speed that is advised: to three figures, since its interval is wider than the fourth. */
const inThree = (value: number) => whole(Number(value.toPrecision(3)));

/** From here on the rated speed is not mentioned: nobody needs to go near it. */
const surelyReached = 0.99;

export const between = ({ low, high }: { low: number; high: number }) => `${figures(low)}–${figures(high)}`;

/** What a prediction rests on: its trials, or what is assumed before any. */
export function basisWords(fitted: FittedMill | null, basis: WheelNumbers["basis"]): string {
  return fitted === null || basis === "prior"
    ? "starting assumption (prior) alone, no trials"
    : counted(fitted.fit.trials.length, "trial");
}

/** Why a size or a speed is not given, and what would help. */
export function refusedWords({ refused }: Pick<WheelNumbers, "refused">): string {
  return refusedText(refused, {
    one: { d50Um: "No D50 is predicted", speedRpm: "No speed is suggested" },
    both: "No D50 is predicted and no speed suggested",
  });
}

/** The headline: two sizes with their intervals, and the chance of being in band. */
export function shortWords(
  { d50Um, refired, inBand }: Pick<WheelNumbers, "d50Um" | "refired" | "inBand">,
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
export function outlierPart({ probability, withoutOutlier: other }: InBand): string {
  return probability === null || other === null || Math.abs(other.probability - probability) < moves
    ? ""
    : `, ${chanceText(other.probability)} without ${other.lot}, an outlier on re-firing`;
}

/** "90 %: 3.21–3.45" */
export const levelled = (of: SizeInterval) => `${percentOf(of)}: ${between(of)}`;

const percentOf = ({ level }: { level: number }) => `${Math.round(100 * level)} %`;

/** The speed for the target, and what it rests on. */
export function targetWords(
  { speedRpm: speed, basis }: Pick<WheelNumbers, "speedRpm" | "basis">,
  fitted: FittedMill | null,
  { targetD50Um }: WheelOptions,
): string {
  if (speed === null || targetD50Um === undefined) return "";
  const product = fitted?.growth == null ? "milled" : "re-fired";
  const reached =
    surelyReached <= speed.reachProbability
      ? ""
      : ` At the rated speed, the chance of reaching this D50 is ${chanceText(speed.reachProbability)}.`;
  return `Set ${inThree(speed.median)} rpm (${percentOf(speed)}: ${rangeOf(speed)}; ${basisWords(fitted, basis)}) for D50 ${figures(targetD50Um)} µm ${product}.${reached}`;
}

/** The range of the required speed; an end beyond the speeds that the trials support is said to be there. */
function rangeOf({ low, high }: { readonly low: number | null; readonly high: number | null }): string {
  if (low !== null && high !== null) return `${inThree(low)}–${inThree(high)} rpm`;
  if (high !== null) return `up to ${inThree(high)} rpm, its lower end below the predictable speeds`;
  if (low !== null) return `from ${inThree(low)} rpm, its upper end above the highest permitted speed`;
  return "wider than the predictable speeds at both ends";
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
