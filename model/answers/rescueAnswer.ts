import type { NamedMeasurement } from "#distributions/measured.ts";
import type { Band } from "#model/band/band.ts";
import { type BringBack, bringBack } from "#model/band/bringBack.ts";
import { byVolume } from "#model/band/byVolume.ts";
import { pooledCovariance, scatterOf } from "#model/band/jointVerdict.ts";
import { nameInside } from "#model/band/limits.ts";
import { chanceText, figures, listed } from "./wording.ts";

/** How surely a lot holds all its limits at once, and what a finer or coarser mill would do for it. */
export interface Rescue extends BringBack {
  readonly sentence: string;
}

/**
 * @param others  runs of other lots of the same stage, whose spread is pooled with the lot's own
 * @returns       null where a row is not known, or the band has no rows
 */
export function rescueAnswer(
  measurements: readonly NamedMeasurement[],
  band: Band,
  others: readonly (readonly NamedMeasurement[])[] = [],
): Rescue | null {
  const { runs } = byVolume(measurements);
  if (runs === null) return null;
  const lots = [runs, ...others.map((lot) => byVolume(lot).runs ?? [])];
  const pooled = pooledCovariance(lots, band);
  const found = bringBack(runs, band, pooled);
  const isPooled = others.length > 0 && scatterOf(runs.length, pooled) === "pooled over lots";
  return found === null ? null : { ...found, sentence: rescueSentence(found, isPooled) };
}

/** Below this change of size there is nothing to do. */
const leastPercent = 0.5;

/** "All limits hold at once with a chance of 62 %. Milling 4.1 % finer would make it 97 %." */
export function rescueSentence(found: BringBack, isPooled: boolean): string {
  const { chanceNow, chanceThen, sizeChangePercent, fromPercent, toPercent, inTheWay } = found;
  const now =
    chanceNow === null
      ? "How surely all limits hold at once is not known: three runs, or a spread pooled over lots, are needed."
      : // The two differ where this lot's runs scatter unlike the others'.
        isPooled
        ? `By the scatter pooled over the kept lots, all limits hold at once with a chance of ${chanceText(chanceNow)}; a limit's own chance goes by this lot's runs alone.`
        : `All limits hold at once with a chance of ${chanceText(chanceNow)}.`;
  if (fromPercent === null || toPercent === null)
    return `${now} No finer or coarser milling alone brings the mean in: nearest it is ${nearest(sizeChangePercent)}, ${listed(inTheWay.map(nameInside))} being out, so the shape must change.`;
  const isInNow = fromPercent <= 0 && toPercent >= 0;
  if (Math.abs(sizeChangePercent) < leastPercent) return `${now} No change of size would make it surer.`;
  const deed = deedOf(sizeChangePercent);
  const then = chanceThen === null ? "" : `, with a chance of ${chanceText(chanceThen)}`;
  return isInNow
    ? `${now} Every size ${deed} would be ${chanceThen === null ? "farthest from the limits" : `surest${then}`}.`
    : `${now} Every size ${deed} would bring it in${then}.`;
}

/** Rows that are out there may be in as the lot stands, so what is out is said of this size alone. */
function nearest(percent: number): string {
  return Math.abs(percent) < leastPercent ? "as it stands" : `with every size ${deedOf(percent)}`;
}

function deedOf(percent: number): string {
  return `${figures(Math.abs(percent))} % ${percent < 0 ? "finer" : "coarser"}`;
}
