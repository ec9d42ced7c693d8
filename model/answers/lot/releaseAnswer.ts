import { itemAt, zip } from "#distributions/lists.ts";
import { type Band, type BandRow, type DecisionRule, judgedEnvelope } from "#model/band/band.ts";
import { isByClass, nameInside, rowKey } from "#model/band/limits.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { judgedScale, limitsOnScale } from "#model/release/judgedScale.ts";
import { knowsAll, type PortionRun, portionsOf, rowsKnown } from "#model/release/portions.ts";
import { type ReleaseFigures, type ReleaseQuestion, releaseFigures } from "#model/release/release.ts";
import type { LotPortions } from "#model/release/scatter.ts";
import { releaseNotes, releaseSentence } from "./releaseWords.ts";

export interface ReleaseAnswer extends ReleaseFigures {
  /** The rows that the figures are about, by the key of a limit, in the order of the figures. */
  readonly judged: readonly string[];
  /** What the band asks besides, which no figure holds, and why. */
  readonly leftOut: readonly string[];
  /** Kept lots that the scatter and the process rest on. */
  readonly keptLots: number;
  /** The two figures. */
  readonly sentence: string;
  /** What they leave out, what would sharpen them, and the risks of the rule in force. */
  readonly notes: readonly string[];
}

export interface ReleaseOptions {
  /** The runs of each kept lot of the ground, oldest first, without this lot. */
  readonly kept?: readonly (readonly PortionRun[])[];
  /** Of a portion about its lot, a fraction, for every size, area and share alike; null where none was entered. */
  readonly samplingCv?: number | null;
  readonly rule?: DecisionRule;
}

/** What is asked of a lot had every size been multiplied by a factor. */
type QuestionAt = (sizeFactor: number) => ReleaseQuestion;

/** Which rows of the band are judged, and what is asked; null where no run can be judged. */
export function releaseOf(
  measurements: readonly PortionRun[],
  band: Band,
  { kept = [], samplingCv = null }: ReleaseOptions = {},
): { readonly rows: readonly BandRow[]; readonly keptLots: number; readonly questionAt: QuestionAt } | null {
  const own = byVolume(measurements).runs;
  const rows = own === null || own.length === 0 ? [] : rowsKnown(own, band);
  if (own === null || rows.length === 0) return null;
  const others = kept
    .map((lot) => byVolume(lot).runs ?? [])
    .filter((lot) => lot.length > 0 && knowsAll(lot, rows, band))
    .map((lot) => portionsOf(lot, rows, band));
  const questionAt = (sizeFactor: number): ReleaseQuestion => {
    const lot = portionsOf(own, rows, band, sizeFactor);
    return {
      lot,
      kept: others,
      limits: rows.map((row) => limitsOnScale(row, judgedScale(row) ?? "ln")),
      samplingSd: samplingCv === null ? null : samplingSdOf(rows, lot, samplingCv),
    };
  };
  return { rows, keptLots: others.length, questionAt };
}

/**
 * How likely a lot conforms, from its own runs and those of the kept lots of its ground. Copies are no runs.
 *
 * @returns null where nothing is known of how runs scatter, or no row can be judged
 */
export function releaseAnswer(
  measurements: readonly PortionRun[],
  band: Band,
  options: ReleaseOptions = {},
): ReleaseAnswer | null {
  const asked = releaseOf(measurements, band, options);
  if (asked === null) return null;
  const found = releaseFigures(asked.questionAt(1));
  if (found === null) return null;
  const { rows, keptLots } = asked;
  const leftOut = leftOutOf(band, rows);
  return {
    ...found,
    judged: rows.map(rowKey),
    leftOut,
    keptLots,
    sentence: releaseSentence(found, keptLots),
    notes: releaseNotes(found, leftOut, options.rule ?? band.rule),
  };
}

/** A relative standard deviation on each row's scale: δ logit p = (δp/p)/(1 − p). */
function samplingSdOf(rows: readonly BandRow[], lot: LotPortions, cv: number): number[] {
  const runs = lot.flat();
  const means = rows.map((_, i) => runs.reduce((sum, run) => sum + itemAt(run, i), 0) / runs.length);
  return zip(rows, means).map(([row, mean]) =>
    judgedScale(row) === "logit" ? cv * (1 + Math.exp(mean)) : cv,
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
  return judgedEnvelope(band) === null ? rows : ["the curve", ...rows];
}
