import type { Band } from "#model/band/band.ts";
import { insideSentence } from "#model/band/limits.ts";
import type { FittedMill } from "#model/mill/prediction/fittedMill.ts";
import type { PredictedRefired, PredictedSizes } from "#model/mill/prediction/predictedSizes.ts";
import type { SizeInterval } from "#model/mill/trials/trialFit.ts";
import { chanceText, counted, figures, listed } from "#model/words/wording.ts";
import type { InBand } from "./inBandAnswer.ts";
import type { WheelAnswer, WheelOptions, WheelWords } from "./wheelQuestion.ts";

const whole = (value: number) => Math.round(value).toLocaleString("en-GB");

/** A speed that is advised: to three figures, since no interval holds more. */
const inThree = (value: number) => whole(Number(value.toPrecision(3)));

/** From here on the rated speed is not spoken of: nobody need go near it. */
const surelyReached = 0.99;

const between = ({ low, high }: { low: number; high: number }) => `${figures(low)}–${figures(high)}`;

/** What a wheel plan says, in parts: each may be empty where nothing was asked of it. */
export function wheelWords(
  a: Omit<WheelAnswer, "sentence" | "words" | "problems">,
  learned: FittedMill | null,
  options: WheelOptions,
): WheelWords {
  const rests =
    a.basis === "trials" ? counted(learned?.fit.trials.length ?? 0, "trial") : "a prior, no trials";
  return {
    short: shortPart(a, options),
    rests: restsPart(a, options, rests),
    product: joined([
      a.d50Um !== null && options.speedRpm !== undefined ? milledPart(options.speedRpm, a.d50Um, rests) : "",
      a.refired === null ? "" : refiredPart(a.refired),
      a.refired === null || a.d50Um === null ? "" : refireDoubt(a.refired, a.d50Um),
      inBandPart(a, options),
    ]),
    target: speedPart(a, learned, options, rests),
    refused: joined(
      a.refused.map(
        (no) =>
          `${no.what === "d50Um" ? "No D50 is predicted" : "No speed is suggested"}: ${no.reason}. ${no.remedy}`,
      ),
    ),
    physics: a.cutUm === null ? "" : physicsPart(a.cutUm, a.d50Um),
  };
}

/** What stands above everything else: two sizes and a chance, each with how sure it is. */
function shortPart(
  { d50Um, refired, inBand }: Pick<WheelAnswer, "d50Um" | "refired" | "inBand">,
  { speedRpm }: WheelOptions,
): string {
  if (d50Um === null || speedRpm === undefined) return "";
  const size = (name: string, d50: SizeInterval) => `${figures(d50.median)} µm ${name} (${between(d50)})`;
  const sizes = [size("milled", d50Um), ...(refired === null ? [] : [size("re-fired", refired.d50Um)])];
  const chance =
    inBand === null || inBand.probability === null
      ? ""
      : `; the chance of being in band is ${chanceText(inBand.probability)}`;
  return `At ${whole(speedRpm)} rpm expect D50 ${sizes.join(" and ")}${chance}.`;
}

/** The parts as one text. */
export function wheelSentence({
  product,
  target,
  refused,
  physics,
}: Omit<WheelWords, "short" | "rests">): string {
  return joined([product, target, refused, physics]) || "Nothing was asked: give a speed or a target D50.";
}

function joined(parts: readonly string[]): string {
  return parts.filter((part) => part !== "").join(" ");
}

function milledPart(speedRpm: number, d50: SizeInterval, rests: string): string {
  return `At ${whole(speedRpm)} rpm expect milled D50 ${figures(d50.median)} µm (${between(d50)}, ${Math.round(100 * d50.level)} % of runs; ${rests}).`;
}

function growthWords({ growth, lots }: PredictedRefired): string {
  const change = 100 * (growth.d50 - 1);
  return `the D50 of ${counted(lots, "lot")} ${change >= 0 ? "grew" : "shrank"} by ${figures(Math.abs(change), 2)} % on average`;
}

/** How much wider the re-fired interval must be than the milled one before re-firing is said to be the larger doubt. */
const largerDoubt = 1.5;

/** A ratio as a change in per cent. */
const changed = (ratio: number) => figures(100 * (ratio - 1), 2);

/** Which lot stands apart on re-firing, or that re-firing is the larger doubt, and what narrows it; else nothing. */
function refireDoubt({ d50Um, hasSpread, growthRange, odd }: PredictedRefired, milled: SizeInterval): string {
  if (odd !== null)
    return `${odd.lot} stands apart: its D${odd.percent} changed by ${changed(odd.growth)} %, that of the others by ${changed(odd.others.least)} to ${changed(odd.others.most)} %. If it was fired otherwise, leave it out and the rest is surer.`;
  const width = ({ low, high }: SizeInterval) => Math.log(high / low);
  if (!hasSpread || width(d50Um) <= largerDoubt * width(milled)) return "";
  const { least, most } = growthRange;
  const range = (of: "d50" | "d90") => [least, most].map((growth) => changed(growth[of])).join(" to ");
  return `That is where most of the doubt comes from: their D50 changed by ${range("d50")} % and their D90 by ${range("d90")} %. More lots through both stages would narrow it, or leaving out one that was fired otherwise.`;
}

const millAlone = "from the mill's scatter alone; three lots are needed to know how re-firing varies";

function refiredPart(refired: PredictedRefired): string {
  const { d50Um, hasSpread } = refired;
  const interval = hasSpread ? between(d50Um) : `${between(d50Um)} ${millAlone}`;
  return `Re-fired, expect D50 ${figures(d50Um.median)} µm (${interval}): ${growthWords(refired)}.`;
}

/** What stands behind the short answer, said without saying that again. */
function restsPart(
  { d50Um, refired, inBand }: Pick<WheelAnswer, "d50Um" | "refired" | "inBand">,
  { band }: WheelOptions,
  rests: string,
): string {
  if (d50Um === null) return "";
  const fired =
    refired === null
      ? ""
      : `Fired again, ${growthWords(refired)}${refired.hasSpread ? "" : `, and the interval is ${millAlone}`}.`;
  const counts =
    inBand === null || inBand.probability === null || band === undefined
      ? ""
      : `In band means ${rowNames(inBand)}${leastPart("", inBand)}.`;
  return joined([
    `The intervals hold ${Math.round(100 * d50Um.level)} % of runs and rest on ${rests}.`,
    fired,
    refired === null ? "" : refireDoubt(refired, d50Um),
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
  const product = band.stage !== "milled" && refired === null ? "as milled" : band.stage;
  return `The chance that ${rowNames(inBand)} ${inBand.counted.length === 1 ? "lies" : "lie"} in band ${product} is ${chanceText(inBand.probability)}${leastPart("of these ", inBand)}.`;
}

function leastPart(among: "of these " | "", { leastLikely }: InBand): string {
  return leastLikely === null
    ? ""
    : `; ${among}${insideSentence(leastLikely.name)} alone is least likely, ${chanceText(leastLikely.probability)}`;
}

function speedPart(
  { speedRpm: speed }: Pick<WheelAnswer, "speedRpm">,
  learned: FittedMill | null,
  { targetD50Um }: WheelOptions,
  rests: string,
): string {
  if (speed === null || targetD50Um === undefined) return "";
  const tail = Math.round((100 * (1 - speed.level)) / 2);
  const fromSlow =
    speed.low === null
      ? `No speed within the limits keeps ${100 - tail} % of runs coarser`
      : `At ${inThree(speed.low)} rpm ${tail} % of runs would already be that fine`;
  const toFast =
    speed.high === null
      ? `no speed within the limits brings ${100 - tail} % there`
      : `at ${inThree(speed.high)} rpm ${100 - tail} % would be`;
  const product = learned?.aim == null ? "milled" : "re-fired";
  const reached =
    surelyReached <= speed.reachProbability
      ? ""
      : ` At the rated speed the chance of reaching it is ${chanceText(speed.reachProbability)}.`;
  return `For ${product} D50 ${figures(targetD50Um)} µm run ${inThree(speed.median)} rpm: half of the runs come out finer, half coarser. ${fromSlow}, ${toFast} (${rests}).${reached}`;
}

function physicsPart(cutUm: number, d50: SizeInterval | null): string {
  const said = `By physics alone the wheel would throw back half of all ${figures(cutUm)} µm particles`;
  return d50 === null
    ? `${said}; it says nothing of how finely the mill grinds.`
    : `${said}. The product's median is another number, ${figures(d50.median / cutUm, 2)} of it here: what passes is finer than the cut, and the gas lags the wheel, so the trials decide.`;
}

/** What is not known where no lot says what re-firing adds, and how much of it the band would bear. */
export function notRefired(band: Band, milled: PredictedSizes | null): string {
  const row = band.rows.find((r) => r.limit === "d50Um");
  const plain = `The band is for ${band.stage} powder, and no lot with both milled and re-fired runs is kept: the milled powder may coarsen when it is fired again, and by how much is not known.`;
  if (milled === null || row?.high == null) return plain;
  const room = row.high / milled.d50Um.median - 1;
  return room > 0
    ? `${plain} D50 would leave the band if it grew by more than ${figures(100 * room, 2)} %.`
    : `${plain} D50 is above the band already as milled.`;
}
