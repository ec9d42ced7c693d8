import { curveOf } from "#distributions/curve.ts";
import { itemAt } from "#distributions/lists.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { Band, BandRow } from "#model/band/band.ts";
import { isByClass, limitValue, nameInside, rowKey } from "#model/band/limits.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { placesOfOwnRuns } from "#model/lot/copies.ts";
import type { LotPortions } from "#model/release/ground.ts";
import { judgedScale, limitsOnScale, onScale } from "#model/release/judgedScale.ts";
import { type ReleaseFigures, releaseFigures } from "#model/release/release.ts";
import { capital, chanceText, counted, figures, listed } from "#model/words/wording.ts";

/** A run, and which portion of its lot it is of; runs without a word for it are of one portion. */
export type PortionRun = NamedMeasurement & { readonly portion?: string };

export interface ReleaseAnswer extends ReleaseFigures {
  /** The rows that the figures are about, by the key of a limit, in the order of the figures. */
  readonly judged: readonly string[];
  /** What the band asks besides, which no figure holds, and why. */
  readonly leftOut: readonly string[];
  readonly sentence: string;
}

/**
 * How likely a lot conforms, from its own runs and those of the kept lots of its ground. Copies are no runs.
 *
 * @param kept        the runs of each kept lot, oldest first, without this lot
 * @param samplingCv  of a portion about its lot, a fraction, entered for every size, area and share alike; null where none was
 * @returns           null where nothing is known of how runs scatter, or no row can be judged
 */
export function releaseAnswer(
  measurements: readonly PortionRun[],
  band: Band,
  kept: readonly (readonly PortionRun[])[] = [],
  samplingCv: number | null = null,
): ReleaseAnswer | null {
  const own = byVolume(measurements).runs;
  if (own === null) return null;
  const others = kept.flatMap((lot) => byVolume(lot).runs ?? []);
  const rows = band.rows.filter((row) => isJudged(row, [...own, ...others], band));
  if (rows.length === 0) return null;
  const portions = (runs: readonly PortionRun[]) => portionsOf(runs, rows, band);
  const found = releaseFigures({
    lot: portions(own),
    kept: kept.map((lot) => portions(byVolume(lot).runs ?? [])),
    limits: rows.map((row) => limitsOnScale(row, judgedScale(row) ?? "ln")),
    samplingSd: samplingCv === null ? null : rows.map(() => samplingCv),
  });
  if (found === null) return null;
  const leftOut = leftOutOf(band, rows);
  return {
    ...found,
    judged: rows.map(rowKey),
    leftOut,
    sentence: releaseSentence(found, leftOut),
  };
}

/** Whether every run knows the row's value on its scale. */
function isJudged(row: BandRow, runs: readonly NamedMeasurement[], band: Band): boolean {
  return runs.every((run) => scaledValue(row, run, band) !== null);
}

function scaledValue(row: BandRow, run: NamedMeasurement, band: Band): number | null {
  const scale = judgedScale(row);
  const value = scale === null ? null : limitValue(row, run.distribution, band);
  return scale === null || value === null ? null : onScale(value, scale);
}

function portionsOf(runs: readonly PortionRun[], rows: readonly BandRow[], band: Band): LotPortions {
  const places = placesOfOwnRuns(runs.map((run) => curveOf(run.distribution)));
  const counting = places.map((place) => itemAt(runs, place));
  const names = [...new Set(counting.map((run) => run.portion))];
  return names.map((name) =>
    counting
      .filter((run) => run.portion === name)
      .map((run) => rows.flatMap((row) => scaledValue(row, run, band) ?? [])),
  );
}

function leftOutOf(band: Band, judged: readonly BandRow[]): string[] {
  const rows = band.rows
    .filter((row) => !judged.includes(row))
    .map((row) =>
      isByClass(row)
        ? `${nameInside(row)}, which moves by whole classes`
        : `${nameInside(row)}, which is not known of every run`,
    );
  return band.envelope === null ? rows : [...rows, "the curve"];
}

const ifAsItWas = "If the process is as it was in the kept lots,";
const seldom = "where lots of the process seldom do, so what the process was says nothing here.";
const notYet = "What the process was is not known yet:";

/** "From these runs alone the portion measured conforms with a chance of 93 % …" */
export function releaseSentence(found: ReleaseFigures, leftOut: readonly string[]): string {
  const { of, fromRuns, asProcess, whyNoProcess, risks } = found;
  const what = of === "lot" ? "the lot" : "the portion measured";
  const least = fromRuns.isAtLeast ? "at least " : "";
  const parts = [
    `From these runs alone ${what} lies within ${fromRuns.rows.length === 1 ? "its limit" : "all its limits"} with a chance of ${least}${chanceText(fromRuns.all)}.`,
  ];
  if (asProcess !== null)
    parts.push(`${ifAsItWas} ${chanceText(asProcess.all)}; that figure rather says too little.`);
  else if (whyNoProcess?.why === "contradicted")
    parts.push(`${capital(whyNoProcess.by)} ${whyNoProcess.by === "this lot" ? "lies" : "lie"} ${seldom}`);
  else if (whyNoProcess?.why === "few lots")
    parts.push(`${notYet} ${counted(whyNoProcess.lots, "kept lot")} of ${whyNoProcess.needed} needed.`);
  if (fromRuns.isAtLeast)
    parts.push(
      `The scatter has ${figures(found.degrees)} degrees of freedom; from ten on, kept lots of two runs or more make the bound a figure.`,
    );
  if (of === "portion measured")
    parts.push(
      "How portions of one lot differ is not known: measure two portions of some lots, or enter the sampling standard deviation.",
    );
  const worst = risks?.find((risk) => risk.rule === "simple");
  if (worst !== undefined)
    parts.push(
      `Of lots made as the kept ones the value alone would release ${shareText(worst.releasedThoughOut)} though out and hold ${shareText(worst.heldThoughGood)} though good.`,
    );
  if (leftOut.length > 0) parts.push(`Not in that chance: ${listed(leftOut)}.`);
  return parts.join(" ");
}

function shareText(share: number): string {
  return share < 0.001 ? "under 0.1 %" : `${(100 * share).toFixed(1)} %`;
}
