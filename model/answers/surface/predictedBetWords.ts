import { minPairsForOffset } from "#model/surface/betForm.ts";
import type { PredictedBet } from "#model/surface/predictedBet.ts";
import type { UnseenFines } from "#model/surface/unseenFines.ts";
import { chanceText, counted, figures, listed } from "#model/words/wording.ts";

/** The BET area to expect, the chance of being in its specification, and what to make of a value that came back. */
export function predictedBetSentence(ahead: PredictedBet): string {
  const parts = [expectedText(ahead)];
  if (ahead.chanceWithin !== null)
    parts.push(`Chance of being in its specification: ${chanceText(ahead.chanceWithin)}.`);
  if (ahead.stale.pairs > 0)
    parts.push(
      `${counted(ahead.stale.pairs, "pair")} left out: measured with another ${listed(ahead.stale.differing)}.`.replace(
        /^./,
        (letter) => letter.toUpperCase(),
      ),
    );
  if (ahead.cameBack !== null) parts.push(cameBackText(ahead));
  return parts.join(" ");
}

/** An interval whose ends are further apart than this says nothing that one would not know without it. A judgement of ours. */
const uselessRatio = 20;

function expectedText({
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
    return `BET should come back above about ${figures(median)} m²/g, by ${basis === "guess" ? "a guess" : counted(pairs, "pair")}: powder outside the classes adds area that is not counted, so there is neither interval nor chance.`;
  const sure =
    low === null || high === null
      ? "no interval"
      : high > uselessRatio * low
        ? "the pairs scatter so much that no useful interval follows: look for a slip in them, or note more"
        : `${figures(low)}–${figures(high)}, ${Math.round(100 * level)} % of the time`;
  if (basis === "guess")
    return `No pair of geometric and BET area holds for this powder, so this is a guess: BET between ${figures(low ?? median)} and ${figures(high ?? median)} m²/g.`;
  const place = placeText(amongPairs, median);
  if (place !== null && low === null) return place;
  const how =
    form === "ratio"
      ? "a ratio"
      : `an offset and a ratio, whose leave-one-out error is ${figures(100 * (errors?.offset ?? 0))} % against ${figures(100 * (errors?.ratio ?? 0))} % for a ratio alone`;
  return `BET should come back near ${figures(median)} m²/g (${sure}; ${counted(pairs, "pair")}, ${place === null ? how : "the wider of two laws"}).${place === null ? "" : ` ${place}`}`;
}

/** Where a powder lies beside the pairs' areas, in words; null within them, or where the pairs are few anyway. */
function placeText(among: PredictedBet["amongPairs"], median: number): string | null {
  if (among === null || among.place === "within" || among.nearest === null) return null;
  const { factor, nearest } = among;
  const far = `${figures(factor)} times beyond the areas of the pairs`;
  if (among.place === "beyond")
    return `It lies ${far}, where an offset or a power of the area may show: the interval covers both.`;
  return `Outside the calibration, ${far}: no interval or chance follows. A ratio alone would say ${figures(median)} m²/g; the nearest pair has ${figures(nearest.betM2PerG)} m²/g at a geometric area of ${figures(nearest.geometricM2PerG)}. A pair near this area would help.`;
}

function cameBackText({ cameBack, basis, isLowerBound }: PredictedBet): string {
  if (cameBack === null) return "";
  const value = `${figures(cameBack.betM2PerG)} m²/g`;
  if (cameBack.z === null)
    return isLowerBound
      ? `The ${value} that came back cannot be judged: the area is a lower bound.`
      : `The ${value} that came back cannot be judged: the pairs show no spread yet.`;
  if (cameBack.isUnexpected !== true) return `The ${value} that came back is as expected.`;
  const side = cameBack.z > 0 ? "higher" : "lower";
  const far = basis === "guess" ? "outside even the guess" : `z ${figures(Math.abs(cameBack.z))}`;
  return `The ${value} that came back is unexpected, ${side} than the powder's sizes say (${far}). Look for ${cameBack.reasons.join("; ")}.`;
}

/** What to weigh before a value becomes a pair though it lies far from the other pairs; null where it does not. */
export function oddPairSentence({ basis, cameBack, pairs }: PredictedBet): string | null {
  if (basis === "guess" || cameBack?.isUnexpected !== true || cameBack.z === null) return null;
  return `This pair is odd beside the ${counted(pairs, "other pair")} of its stage (z ${figures(Math.abs(cameBack.z))}): once noted, it moves and widens what is expected of every powder to come. It may be noted all the same.`;
}

/** Below this part of what was seen, unseen fines hardly matter. */
const hardly = 0.01;

/** How much of the area may hang on fines that the instrument does not see. */
export function unseenSentence({ belowUm, seenM2PerG, leastM2PerG, tailM2PerG }: UnseenFines): string {
  const where = `Nothing below ${figures(belowUm)} µm was seen`;
  const tail = tailM2PerG / seenM2PerG;
  if (leastM2PerG < hardly * seenM2PerG && tail < hardly)
    return `${where}; a log-normal tail there would add under 1 % to the area.`;
  const least =
    leastM2PerG > 0
      ? `the share that lies there adds at least ${figures(leastM2PerG)} m²/g to the ${figures(seenM2PerG)} m²/g of the classes`
      : "";
  const fitted = `a log-normal tail there would add ${figures(tailM2PerG)} m²/g (${figures(100 * tail)} %)`;
  return `${where}: ${[least, fitted].filter((part) => part !== "").join("; ")}. The tail of a powder need not follow its body, so the area is a matter of how far down is measured.`;
}

/** Which form the pairs are used in, and by how much each form misses a pair that is left out. */
export function formSentence({ errors, form }: Pick<PredictedBet, "errors" | "form">): string {
  return errors === null
    ? `From ${counted(minPairsForOffset, "pair")} on that hold and differ in area, a ratio is compared with an offset and a ratio by leaving each pair out.`
    : `Left out one at a time, the pairs are missed by ${figures(100 * errors.ratio)} % with a ratio and by ${figures(100 * errors.offset)} % with an offset and a ratio; in use: ${form}.`;
}
