import { curveOf } from "#distributions/curve.ts";
import { itemAt } from "#distributions/lists.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { Band, Verdict } from "#model/band/band.ts";
import { type EnvelopeFinding, envelopeFinding } from "#model/band/envelopeVerdict.ts";
import { pooledCovariance, rowValues, scatterOf } from "#model/band/jointVerdict.ts";
import { judge, overall } from "#model/band/judge.ts";
import { isByClass, nameInside } from "#model/band/limits.ts";
import { type SizeShift, sizeShift } from "#model/band/sizeShift.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { bandChance, bandChanceText, chanceText, counted, figures, listed } from "#model/words/wording.ts";

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
  if (found === null) return null;
  const isPooled = others.length > 0 && scatterOf(runs.length, pooled) === "pooled over lots";
  const curves = runs.map((run) => curveOf(run.distribution));
  const envelope = band.envelope === null ? null : envelopeFinding(curves, band.envelope, band.rule);
  const pooledLots = isPooled
    ? lots.filter((lot) => lot.length > 1 && rowValues(lot, band) !== null).length
    : null;
  return {
    ...found,
    sentence: sizeShiftSentence(found, {
      runs: runs.length,
      pooledLots,
      ...singleLimits(runs, band),
      envelope,
    }),
  };
}

/** What stands beside the chance for all limits together. */
interface ShownBeside {
  /** Of this lot. */
  readonly runs: number;
  /** Lots whose scatter the chance for all limits rests on; null where it rests on the lot's own runs. */
  readonly pooledLots: number | null;
  /** All single limits together, as the verdict judges them. */
  readonly limits: Verdict;
  /** The least chance of a single limit as the verdict gives it, from the lot's own runs; null where it gives none. */
  readonly least: SizeShift["leastNow"];
  /** Null without an envelope. */
  readonly envelope: EnvelopeFinding | null;
}

function singleLimits(runs: readonly NamedMeasurement[], band: Band): Pick<ShownBeside, "limits" | "least"> {
  const values = rowValues(runs, band) ?? [];
  const judged = band.rows.map((row, k) => ({
    row,
    ...judge(
      values.map((run) => itemAt(run, k)),
      row,
      band.rule,
    ),
  }));
  const chances = judged.flatMap(({ row, probability }) =>
    probability === null || isByClass(row) ? [] : [{ row, chance: probability }],
  );
  const [first = null, ...rest] = chances;
  const least = rest.reduce((a, b) => (a !== null && a.chance <= b.chance ? a : b), first);
  return { limits: overall(judged.map(({ verdict }) => verdict)), least: chances.length < 2 ? null : least };
}

/** Below this change of size there is nothing to do. */
const minPercent = 0.5;

/** "The chance of being in band for all limits together is 62 %. Milling about 4 % finer raises the chance to 97 %." */
export function sizeShiftSentence(found: SizeShift, beside: ShownBeside): string {
  const { chanceThen, sizeChangePercent, fromPercent, toPercent } = found;
  const only = onlyEnvelopeText(found, beside);
  if (only !== null) return `${nowText(found, beside)} ${only}`;
  const isCurveIn = beside.envelope === null || beside.envelope.verdict === "in band";
  const now = `${nowText(found, beside)}${isCurveIn ? "" : " This leaves out the envelope, and the curve does not clearly lie within it."}`;
  if (fromPercent === null || toPercent === null) return `${now} ${noShiftText(found)}`;
  const isInNow = fromPercent <= 0 && toPercent >= 0;
  if (Math.abs(sizeChangePercent) < minPercent) return `${now} ${unchangedText(found, beside.limits)}`;
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

/** How surely all limits hold and by whose scatter, and where that leaves doubt the least likely of them as the verdict has it. */
function nowText(found: SizeShift, { runs, pooledLots, least }: ShownBeside): string {
  const { chanceNow } = found;
  if (chanceNow === null)
    return `The ${bandChance} for all limits together is not known: it needs three runs, or a scatter pooled over several lots.`;
  const own = `this lot's ${counted(runs, "run")} alone`;
  const scatter = pooledLots === null ? `from ${own}` : `scatter pooled over ${counted(pooledLots, "lot")}`;
  const all = `The ${bandChance} for all limits together is ${chanceText(chanceNow)} (${scatter})`;
  if (least === null || chanceNow < hardly || (isSure(found) && least.chance >= sure)) return `${all}.`;
  const single = `${nameInside(least.row)} has ${chanceText(least.chance)}`;
  if (pooledLots !== null) return `${all}; from ${own} ${single}.`;
  const isAbove = chanceText(chanceNow) !== chanceText(least.chance) && chanceNow > least.chance;
  return isAbove
    ? `${all}; by itself ${single}, which is lower because a single limit is judged with one degree of freedom fewer.`
    : `${all}; by itself ${single}.`;
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
