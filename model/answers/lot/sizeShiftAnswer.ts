import { curveOf } from "#distributions/curve.ts";
import { itemAt } from "#distributions/lists.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { type Band, judgedEnvelope, type Verdict } from "#model/band/band.ts";
import { type EnvelopeFinding, envelopeFinding } from "#model/band/envelopeVerdict.ts";
import { judge, overall } from "#model/band/judge.ts";
import { limitValue, nameInside, rowKey } from "#model/band/limits.ts";
import { type ChancesOfRows, type SizeShift, sizeShift } from "#model/band/sizeShift.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { sharedDraws } from "#model/release/chanceFromRuns.ts";
import type { PortionRun } from "#model/release/portions.ts";
import { chancesOf } from "#model/release/release.ts";
import { bandChance, chanceText, figures, listed } from "#model/words/wording.ts";
import { type ReleaseOptions, releaseOf } from "./releaseAnswer.ts";
import { boundText } from "./releaseWords.ts";

/** What a finer or coarser mill would do for a lot. */
export interface SizeShiftNeeded extends SizeShift {
  readonly sentence: string;
}

/**
 * Its chances are the first figure of a release, from these runs alone: the scatter of other lots is pooled with the lot's own.
 *
 * @returns null where a row is not known, or the band has no rows
 */
export function sizeShiftAnswer(
  measurements: readonly PortionRun[],
  band: Band,
  options: ReleaseOptions = {},
): SizeShiftNeeded | null {
  const { runs } = byVolume(measurements);
  if (runs === null) return null;
  const asked = releaseOf(measurements, band, options);
  const drawsFor = sharedDraws();
  const conformanceAt = (factor: number) =>
    asked === null ? null : chancesOf(asked.questionAt(factor), drawsFor);
  const found = sizeShift(runs, band, (factor): ChancesOfRows | null => {
    const at = conformanceAt(factor);
    if (asked === null || at === null) return null;
    const byRow = new Map(asked.rows.map((row, i) => [rowKey(row), itemAt(at.rows, i)]));
    return { all: at.all, byRow };
  });
  if (found === null) return null;
  const curves = runs.map((run) => curveOf(run.distribution));
  const judged = judgedEnvelope(band);
  const envelope = judged === null ? null : envelopeFinding(curves, judged, band.rule);
  const isAtLeast = conformanceAt(1)?.isAtLeast ?? false;
  return {
    ...found,
    sentence: sizeShiftSentence(found, { limits: limitsVerdict(runs, band), envelope, isAtLeast }),
  };
}

/** What the words take from beside the shift. */
interface ShownBeside {
  /** All single limits together, as the verdict judges them. */
  readonly limits: Verdict;
  /** Null without an envelope. */
  readonly envelope: EnvelopeFinding | null;
  /** Whether the chances of all limits are lower bounds and no more. */
  readonly isAtLeast: boolean;
}

function limitsVerdict(runs: readonly NamedMeasurement[], band: Band): Verdict {
  const verdicts = band.rows.map((row) => {
    const values = runs.flatMap((run) => limitValue(row, run.distribution, band) ?? []);
    return judge(values, row, band.rule).verdict;
  });
  return overall(verdicts);
}

/** Below this change of size there is nothing to do. */
const minPercent = 0.5;

/** "The limit least likely to hold is D90, with 71 %. Milling about 4 % finer raises the chance of all limits from 62 % to 97 %." */
export function sizeShiftSentence(found: SizeShift, beside: ShownBeside): string {
  const only = onlyEnvelopeText(found, beside);
  const parts = [
    nowText(found),
    ...(only === null ? [envelopeText(beside), shiftText(found, beside)] : [only]),
  ];
  return parts.filter((part) => part !== "").join(" ");
}

function envelopeText({ envelope }: ShownBeside): string {
  return envelope === null || envelope.verdict === "in band"
    ? ""
    : "A change of size is looked for by the limits alone; the curve does not clearly lie within the envelope.";
}

function shiftText(found: SizeShift, { limits, isAtLeast }: ShownBeside): string {
  const { chanceNow, chanceThen, sizeChangePercent, fromPercent, toPercent } = found;
  if (fromPercent === null || toPercent === null) return noShiftText(found);
  const isInNow = fromPercent <= 0 && toPercent >= 0;
  if (Math.abs(sizeChangePercent) < minPercent) return unchangedText(found, limits);
  const milling = `Milling ${aboutText(sizeChangePercent)}`;
  if (!isInNow) {
    const chance = chanceThen === null ? "" : ` (${boundText(chanceThen, isAtLeast)} ${bandChance})`;
    return `${milling} would bring the mean into the band${chance}.`;
  }
  if (chanceThen === null || chanceNow === null)
    return `${milling} would leave the widest margin to the limits.`;
  // A bound near nothing says nothing of where it begins.
  const from = isAtLeast && chanceNow < hardly ? "" : ` from ${boundText(chanceNow, isAtLeast)}`;
  return `${milling} raises the chance of all limits${from} to ${boundText(chanceThen, isAtLeast)}.`;
}

function noShiftText({ inTheWay, isAnySize, sizeChangePercent }: SizeShift): string {
  const rows = listed(inTheWay.map(nameInside));
  const why = isAnySize
    ? `${rows} ${inTheWay.length === 1 ? "is" : "are"} out of band at any size`
    : `${nearestText(sizeChangePercent)} ${rows} ${inTheWay.length === 1 ? "is" : "are"} still out of band`;
  return `Finer or coarser milling alone cannot bring the mean into the band: ${why}, so the shape of the distribution must change.`;
}

function unchangedText(found: SizeShift, limits: Verdict): string {
  if (found.chanceNow === null) return "The mean already has the widest margin to the limits.";
  return isSure(found) && limits === "in band"
    ? "No change is needed."
    : "Neither finer nor coarser milling would raise this chance.";
}

/** Where nothing but the envelope stands in the way: no change of size is advised for it; else null. */
function onlyEnvelopeText(found: SizeShift, { limits, envelope }: ShownBeside): string | null {
  if (envelope === null || envelope.verdict === "in band" || limits !== "in band" || !isSure(found))
    return null;
  if (Math.abs(found.sizeChangePercent) >= minPercent) return null;
  const { verdict, fromUm, toUm } = envelope;
  const [from, to] = [figures(fromUm), figures(toUm)];
  const where = from === to ? `at ${from} µm` : `between ${from} and ${to} µm`;
  return `All single limits are met. The verdict is "${verdict}" only because of the envelope ${where}.`;
}

/** At and above this chance nothing is left to better. */
const sure = 0.95;

/** Below it no single limit is worth naming beside them all. */
const hardly = 0.01;

function isSure({ chanceNow }: SizeShift): boolean {
  return chanceNow !== null && chanceNow >= sure;
}

/** Where all limits together leave doubt, the least likely of them. */
function nowText(found: SizeShift): string {
  const { chanceNow, leastNow } = found;
  if (chanceNow === null)
    return `The ${bandChance} for all limits together is not known: it needs three runs, or other lots with several runs.`;
  if (leastNow === null || chanceNow < hardly || isSure(found)) return "";
  return `The limit least likely to hold is ${nameInside(leastNow.row)}, with ${chanceText(leastNow.chance)}.`;
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
