import { minPairs } from "#model/surface/bet.ts";
import { minPairsForOffset } from "#model/surface/betForm.ts";
import type { PredictedBet } from "#model/surface/predictedBet.ts";
import type { UnseenFines } from "#model/surface/unseenFines.ts";
import { capital, chanceText, counted, figures, listed } from "#model/words/wording.ts";

/** The predicted BET area, the chance of its limits, and an assessment of the measured value. */
export function predictedBetSentence(predicted: PredictedBet): string {
  const { chanceWithin, stale } = predicted;
  return [
    predictedText(predicted),
    chanceWithin === null ? "" : `The chance of being within the BET limits is ${chanceText(chanceWithin)}.`,
    stale.pairs === 0
      ? ""
      : `${capital(counted(stale.pairs, "pair"))} ${stale.pairs === 1 ? "is" : "are"} not used: measured with a different ${listed(stale.differing)}.`,
    measuredText(predicted),
  ]
    .filter((part) => part !== "")
    .join(" ");
}

/** An interval whose ends are further apart than this says nothing that one would not know without it. A judgement of ours. */
const uselessRatio = 20;

const asPercent = (share: number) => `${figures(100 * share)} %`;

function predictedText({
  basis,
  form,
  pairs,
  median,
  low,
  high,
  level,
  errors,
  isLowerBound,
  amongPairs,
}: PredictedBet): string {
  if (isLowerBound)
    return `The predicted BET area is at least about ${figures(median)} m²/g (${basis === "guess" ? "rough estimate" : counted(pairs, "pair")}). Powder outside the size classes adds an unknown area, so there is neither an interval nor a chance.`;
  if (basis === "guess")
    return `The BET calibration has no pair for this powder yet. Rough estimate of the BET area: ${low === null || high === null ? figures(median) : `${figures(low)}–${figures(high)}`} m²/g.`;
  const interval =
    low === null || high === null
      ? "no interval"
      : high > uselessRatio * low
        ? "no useful interval, because the pairs scatter too much: check them for errors or add more"
        : `${figures(low)}–${figures(high)} in ${Math.round(100 * level)} % of cases`;
  const place = placeText(amongPairs, median);
  if (place !== null && low === null) return place;
  const how =
    form === "ratio" || errors === null
      ? form
      : `${form}; leave-one-out error ${asPercent(errors.offset)}, with the ratio alone ${asPercent(errors.ratio)}`;
  return `The predicted BET area is ${figures(median)} m²/g (${interval}; ${counted(pairs, "pair")}, ${place === null ? how : "the wider of two laws"}).${place === null ? "" : ` ${place}`}`;
}

/** Where a powder lies beside the pairs' areas, in words; null within them, or where the pairs are few anyway. */
function placeText(among: PredictedBet["amongPairs"], median: number): string | null {
  if (among === null || among.place === "within" || among.nearest === null) return null;
  const { factor, nearest } = among;
  const far = `${figures(factor)} times beyond the areas of the pairs`;
  if (among.place === "beyond")
    return `The powder lies ${far}, where the BET area may depend on the geometric area through an offset or a power: the interval covers both.`;
  return `Outside the BET calibration, ${far}: there is no interval and no chance. The ratio alone would predict ${figures(median)} m²/g; the nearest pair has ${figures(nearest.betM2PerG)} m²/g at a geometric area of ${figures(nearest.geometricM2PerG)} m²/g. A pair near this area would help.`;
}

function measuredText({ cameBack: measured, basis, isLowerBound, median }: PredictedBet): string {
  if (measured === null) return "";
  const value = `The measured ${figures(measured.betM2PerG)} m²/g`;
  if (isLowerBound)
    return measured.betM2PerG < median
      ? `${value} is below the lower bound of about ${figures(median)} m²/g.${measured.isUnexpected === true ? causesText(measured) : ""}`
      : `${value} cannot be assessed: only a lower bound is predicted.`;
  if (measured.z === null)
    return `${value} cannot be assessed yet: at least ${counted(minPairs, "comparable pair")} are needed.`;
  if (measured.isUnexpected !== true) return `${value} agrees with the prediction.`;
  const side = measured.z > 0 ? "higher" : "lower";
  const far = basis === "guess" ? "outside even the rough estimate" : deviationText(measured.z);
  return `${value} is ${side} than predicted (${far}).${causesText(measured)}`;
}

/** What to weigh before a value becomes a pair though it lies far from the other pairs; null where it does not. */
export function oddPairSentence({ basis, cameBack: measured, pairs }: PredictedBet): string | null {
  if (basis === "guess" || measured?.isUnexpected !== true || measured.z === null) return null;
  return `This pair is an outlier among the ${counted(pairs, "other pair")} of its stage (${deviationText(measured.z)}). Adding it shifts and widens every later prediction; it can be added all the same.`;
}

function causesText({ reasons }: { readonly reasons: readonly string[] }): string {
  return ` Possible causes: ${reasons.join("; ")}.`;
}

/** "3.4 standard deviations" */
const deviationText = (z: number) => `${Math.abs(z).toFixed(1)} standard deviations`;

/** Below this part of what was seen, unseen fines hardly matter. */
const hardly = 0.01;

/** How much of the area may come from fines that the instrument does not see. */
export function unseenSentence({ belowUm, seenM2PerG, leastM2PerG, tailM2PerG }: UnseenFines): string {
  const where = `The measurement does not reach below ${figures(belowUm)} µm`;
  const tail = tailM2PerG / seenM2PerG;
  if (leastM2PerG < hardly * seenM2PerG && tail < hardly)
    return `${where}; a log-normal tail there would add less than 1 % to the area.`;
  const least =
    leastM2PerG > 0
      ? `the powder below adds at least ${figures(leastM2PerG)} m²/g to the measured ${figures(seenM2PerG)} m²/g`
      : "";
  const fitted = `a log-normal tail would add ${figures(tailM2PerG)} m²/g (${asPercent(tail)})`;
  return `${where}: ${[least, fitted].filter((part) => part !== "").join("; ")}. The true tail may differ, so the area depends on how fine the measurement reaches.`;
}

/** Which form the calibration uses, and the leave-one-out error of each. */
export function formSentence({ errors, form }: Pick<PredictedBet, "errors" | "form">): string {
  return errors === null
    ? `From ${counted(minPairsForOffset, "comparable pair")} of different area on, a ratio and an offset with ratio are compared by their leave-one-out errors.`
    : `Leave-one-out error: ${asPercent(errors.ratio)} (ratio), ${asPercent(errors.offset)} (offset and ratio). The prediction uses the ${form}.`;
}
