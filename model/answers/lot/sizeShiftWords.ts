import type { Verdict } from "#model/band/band.ts";
import type { EnvelopeFinding } from "#model/band/envelopeVerdict.ts";
import { nameInside } from "#model/band/limits.ts";
import type { SizeShift } from "#model/band/sizeShift.ts";
import type { StepKind } from "#model/lot/processSteps.ts";
import { bandChance, capital, chanceText, figures, listed } from "#model/words/wording.ts";
import { boundText } from "./releaseWords.ts";

/** What the words take from beside the shift. */
export interface ShownBeside {
  /** All single limits together, as the verdict judges them. */
  readonly limits: Verdict;
  /** Null without an envelope. */
  readonly envelope: EnvelopeFinding | null;
  /** Whether the chances of all limits are lower bounds and no more. */
  readonly isAtLeast: boolean;
  /** What made the powder judged; null where that is not known. */
  readonly step: StepKind | null;
}

/** Below this change of size there is nothing to do. */
const minPercent = 0.5;

/** "The limit least likely to hold is D90, with 71 %. Milling about 4 % finer raises the chance of all limits from 62 % to 97 %." */
export function sizeShiftSentence(found: SizeShift, beside: ShownBeside): string {
  const only = onlyEnvelopeText(found, beside);
  const parts = [
    nowText(found),
    ...(only === null
      ? [envelopeText(found, beside), shiftText(found, beside), adviceText(found, beside)]
      : [only]),
  ];
  return parts.filter((part) => part !== "").join(" ");
}

/** Powder of a step that is not known, and of the mill, is made finer or coarser by milling. */
const isMilled = (step: StepKind | null) => step === null || step === "milled";

/**
 * What makes finer or coarser powder where the mill did not have the last word: of the lots to come, and of this one.
 *
 * Source: common practice of firing and milling, no source.
 */
const advice: Partial<Readonly<Record<StepKind, { finer: string; coarser: string; apart: string }>>> = {
  "heat-treated": {
    finer:
      "The next lot: mill it finer, or re-fire it cooler or shorter. This one: re-mill it gently, or blend it with a finer lot.",
    coarser:
      "The next lot: mill it less finely, or re-fire it hotter or longer. This one: re-fire it once more, or blend it with a coarser lot.",
    apart:
      "A coarse end that re-firing bound together goes back by gentle re-milling; the next lot is re-fired cooler or shorter.",
  },
  fired: {
    finer: "The next lot: fire it cooler or shorter. This one: crush or mill it further.",
    coarser: "The next lot: fire it hotter or longer. This one: fire it once more.",
    apart:
      "A coarse end that firing bound together goes back by crushing; the next lot is fired cooler or shorter.",
  },
};

/** The rows that a coarse end alone takes out of band. */
const ofCoarseEnd: readonly string[] = ["d90Um", "span", "largestClassUm"];

function adviceText(found: SizeShift, { step }: ShownBeside): string {
  const of = step === null ? undefined : advice[step];
  if (of === undefined) return "";
  const { fromPercent, toPercent, sizeChangePercent, inTheWay } = found;
  if (fromPercent === null || toPercent === null)
    return inTheWay.some((row) => ofCoarseEnd.includes(row.limit)) ? of.apart : "";
  if (Math.abs(sizeChangePercent) < minPercent) return "";
  return sizeChangePercent < 0 ? of.finer : of.coarser;
}

function envelopeText({ fromPercent }: SizeShift, { envelope }: ShownBeside): string {
  return fromPercent === null || envelope === null || envelope.verdict === "in band"
    ? ""
    : "A change of size is looked for by the limits alone; the curve does not clearly lie within the envelope.";
}

function shiftText(found: SizeShift, { limits, isAtLeast, step }: ShownBeside): string {
  const { chanceNow, chanceThen, sizeChangePercent, fromPercent, toPercent } = found;
  if (fromPercent === null || toPercent === null) return noShiftText(found, step);
  const isInNow = fromPercent <= 0 && toPercent >= 0;
  if (Math.abs(sizeChangePercent) < minPercent) return unchangedText(found, limits, step);
  const milling = capital(`${isMilled(step) ? "milling " : "powder "}${aboutText(sizeChangePercent)}`);
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

function noShiftText({ inTheWay, isAnySize, sizeChangePercent }: SizeShift, step: StepKind | null): string {
  const rows = listed(inTheWay.map(nameInside));
  const why = isAnySize
    ? `${rows} ${inTheWay.length === 1 ? "is" : "are"} out of band at any size`
    : `${nearestText(sizeChangePercent)} ${rows} ${inTheWay.length === 1 ? "is" : "are"} still out of band`;
  return `${isMilled(step) ? "Finer or coarser milling" : "Finer or coarser powder"} alone cannot bring the mean into the band: ${why}, so the shape of the distribution must change.`;
}

function unchangedText(found: SizeShift, limits: Verdict, step: StepKind | null): string {
  if (found.chanceNow === null) return "The mean already has the widest margin to the limits.";
  return isSure(found) && limits === "in band"
    ? "No change is needed."
    : `Neither finer nor coarser ${isMilled(step) ? "milling" : "powder"} would raise this chance.`;
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
