import { curveOf } from "#distributions/curve.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { Band } from "#model/band/band.ts";
import { envelopeVerdict } from "#model/band/envelopeVerdict.ts";
import { pooledCovariance, scatterOf } from "#model/band/jointVerdict.ts";
import { nameInside } from "#model/band/limits.ts";
import { type SizeShift, sizeShift } from "#model/band/sizeShift.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { chanceText, figures, listed } from "#model/words/wording.ts";

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
const leastPercent = 0.5;

/** "All limits hold at once with a chance of 62 %. Milling 4.1 % finer would make it 97 %." */
export function sizeShiftSentence(found: SizeShift, isPooled: boolean, isCurveIn = true): string {
  const { chanceThen, sizeChangePercent, fromPercent, toPercent, inTheWay, isAnySize } = found;
  const now = `${nowText(found, isPooled)}${isCurveIn ? "" : " The curve is not in that chance: as it is, it does not lie surely within the band."}`;
  if (fromPercent === null || toPercent === null) {
    const rows = listed(inTheWay.map(nameInside));
    return `${now} No finer or coarser milling alone brings the mean in: ${
      isAnySize
        ? `${rows} ${inTheWay.length === 1 ? "is" : "are"} out at any size, so the shape must change.`
        : `nearest it is ${nearest(sizeChangePercent)}, ${rows} being out, so the shape must change.`
    }`;
  }
  const isInNow = fromPercent <= 0 && toPercent >= 0;
  if (Math.abs(sizeChangePercent) < leastPercent)
    return `${now} ${isSure(found) ? (isCurveIn ? "Nothing need change." : "For the limits alone nothing need change.") : "No change of size would make it surer."}`;
  const deed = deedOf(sizeChangePercent);
  const then = chanceThen === null ? "" : `, with a chance of ${chanceText(chanceThen)}`;
  return isInNow
    ? `${now} Every size ${deed} would be ${chanceThen === null ? "farthest from the limits" : `surest${then}`}.`
    : `${now} Every size ${deed} would bring it in${then}.`;
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
    return "How surely all limits hold at once is not known: three runs, or a spread pooled over lots, are needed.";
  const by = isPooled ? "By the scatter pooled over the kept lots, all" : "All";
  const all = `${by} limits hold at once with a chance of ${chanceText(chanceNow)}`;
  if (isSure(found) || chanceNow < hardly || leastNow === null) return `${all}.`;
  const alone = `${nameInside(leastNow.row)} alone with ${chanceText(leastNow.chance)}`;
  return `${all}, ${alone}; the limits list goes by ${isPooled ? "this lot's own runs" : "each limit's own Student's t"}.`;
}

/** Rows that are out there may be in as the lot stands, so what is out is said of this size alone. */
function nearest(percent: number): string {
  return Math.abs(percent) < leastPercent ? "as it stands" : `with every size ${deedOf(percent)}`;
}

function deedOf(percent: number): string {
  return `${figures(Math.abs(percent))} % ${percent < 0 ? "finer" : "coarser"}`;
}
