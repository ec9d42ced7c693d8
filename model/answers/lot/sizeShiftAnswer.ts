import { curveOf } from "#distributions/curve.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { Band } from "#model/band/band.ts";
import { envelopeVerdict } from "#model/band/envelopeVerdict.ts";
import { pooledCovariance, scatterOf } from "#model/band/jointVerdict.ts";
import { nameInside } from "#model/band/limits.ts";
import { type SizeShift, sizeShift } from "#model/band/sizeShift.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { bandChance, bandChanceText, chanceText, figures, listed } from "#model/words/wording.ts";

/** How surely a lot holds all its limits at once, and what a finer or coarser mill would do for it. */
export interface SizeShiftNeeded extends SizeShift {
  readonly sentence: string;
}

/**
 * @param others  runs of other lots of the same stage, whose spread is pooled with the lot's own
 * @returns       null where a row is not known, or the band has no rows
 */
export function sizeShiftAnswer(
  measurements: readonly NamedMeasurement[],
  band: Band,
  others: readonly (readonly NamedMeasurement[])[] = [],
): SizeShiftNeeded | null {
  const { runs } = byVolume(measurements);
  if (runs === null) return null;
  const lots = [runs, ...others.map((lot) => byVolume(lot).runs ?? [])];
  const pooled = pooledCovariance(lots, band);
  const found = sizeShift(runs, band, pooled);
  const isPooled = others.length > 0 && scatterOf(runs.length, pooled) === "pooled over lots";
  if (found === null) return null;
  const curves = runs.map((run) => curveOf(run.distribution));
  const isCurveIn = band.envelope === null || envelopeVerdict(curves, band.envelope, band.rule) === "in band";
  return { ...found, sentence: sizeShiftSentence(found, isPooled, isCurveIn) };
}

/** Below this change of size there is nothing to do. */
const minPercent = 0.5;

/** "The chance of being in band for all limits together is 62 %. Milling about 4 % finer raises the chance to 97 %." */
export function sizeShiftSentence(found: SizeShift, isPooled: boolean, isCurveIn = true): string {
  const { chanceThen, sizeChangePercent, fromPercent, toPercent } = found;
  const now = `${nowText(found, isPooled)}${isCurveIn ? "" : " This leaves out the envelope, and the curve does not clearly lie within it."}`;
  if (fromPercent === null || toPercent === null) return `${now} ${noShiftText(found)}`;
  const isInNow = fromPercent <= 0 && toPercent >= 0;
  if (Math.abs(sizeChangePercent) < minPercent) return `${now} ${unchangedText(found, isCurveIn)}`;
  const milling = `Milling ${aboutText(sizeChangePercent)}`;
  if (isInNow)
    return chanceThen === null
      ? `${now} ${milling} would leave the widest margin to the limits.`
      : `${now} ${milling} raises the chance to ${chanceText(chanceThen)}.`;
  const chance = chanceThen === null ? "" : ` (${bandChanceText(chanceThen)})`;
  return `${now} ${milling} would bring the mean into the band${chance}.`;
}

function noShiftText({ inTheWay, isAnySize, sizeChangePercent }: SizeShift): string {
  const rows = listed(inTheWay.map(nameInside));
  const why = isAnySize
    ? `${rows} ${inTheWay.length === 1 ? "is" : "are"} out of band at any size`
    : `${nearestText(sizeChangePercent)} ${rows} ${inTheWay.length === 1 ? "is" : "are"} still out of band`;
  return `Finer or coarser milling alone cannot bring the mean into the band: ${why}, so the shape of the distribution must change.`;
}

function unchangedText(found: SizeShift, isCurveIn: boolean): string {
  if (!isSure(found))
    return found.chanceNow === null
      ? "The mean already has the widest margin to the limits."
      : "Neither finer nor coarser milling would raise this chance.";
  return isCurveIn ? "No change is needed." : "As far as the limits are concerned, no change is needed.";
}

/** At and above this chance nothing is left to better. */
const sure = 0.95;

/** Below it no single limit is worth naming beside them all. */
const hardly = 0.01;

function isSure({ chanceNow }: SizeShift): boolean {
  return chanceNow !== null && chanceNow >= sure;
}

/** How surely all limits hold, and where that leaves doubt the least likely of them by the same scatter. */
function nowText(found: SizeShift, isPooled: boolean): string {
  const { chanceNow, leastNow } = found;
  if (chanceNow === null)
    return `The ${bandChance} for all limits together is not known: it needs three runs, or a scatter pooled over several lots.`;
  const by = isPooled ? "With the run-to-run scatter pooled over the saved lots, the" : "The";
  const all = `${by} ${bandChance} for all limits together is ${chanceText(chanceNow)}`;
  if (isSure(found) || chanceNow < hardly || leastNow === null) return `${all}.`;
  const alone = `for ${nameInside(leastNow.row)} alone ${chanceText(leastNow.chance)}`;
  return `${all}, ${alone}; the table ${isPooled ? "uses the scatter of this lot's own runs" : "treats each limit separately"}.`;
}

/** Rows that are out there may be in as the lot stands, so what is out is said of this size alone. */
function nearestText(percent: number): string {
  return Math.abs(percent) < minPercent
    ? "at the best size, which is today's,"
    : `at the best size, ${aboutText(percent)},`;
}

/** Above this a whole per cent is exact enough for a mill. */
const wholeFrom = 3;

/** "about 6 % finer" */
function aboutText(percent: number): string {
  const size = Math.abs(percent);
  const about = size < wholeFrom ? figures(size, 2) : String(Math.round(size));
  return `about ${about} % ${percent < 0 ? "finer" : "coarser"}`;
}
