import { counted, listed } from "#model/words/wording.ts";
import { type Child, families } from "./lineage.ts";

/** What a lot must say of itself so that it can be asked whether it may teach. */
export interface GroundLot extends Child {
  readonly name: string;
  readonly materialId: number;
  /** Days as 2026-11-30; null where not noted. */
  readonly madeOn: string | null;
  readonly measuredOn: string | null;
  readonly savedAt: string;
  /** Why the lot teaches nothing; null while it counts. */
  readonly exclusionReason: string | null;
  /** What was measured of it, stage by stage. */
  readonly stages: readonly { readonly stage: string; readonly instrument: string | null }[];
}

export interface GroundQuestion {
  readonly materialId: number;
  /** Only lots that have runs of this stage. */
  readonly stage?: string;
  /** Only runs from this instrument, where it matters and is known. */
  readonly instrument?: string;
  /** The lot that is asked about teaches nothing about itself. */
  readonly exceptLotId?: number;
  /** As many lots as may teach at most; the newest ones. */
  readonly most?: number;
}

/** Whose lots teach an answer. Its ids stand in every report and release record that rests on it. */
export interface Ground<L extends GroundLot = GroundLot> {
  /** The lots that teach, newest first. */
  readonly lots: readonly L[];
  /** Children of one parent are one group: independent lots are counted by groups. */
  readonly independent: number;
  readonly leftOut: readonly { readonly lotId: number; readonly why: string }[];
}

/** So many lots teach at most: a process of years ago says little about the next lot [judgement]. */
export const maxGroundLots = 60;

/**
 * Whose lots may teach an answer about a material: lots of that material alone, those that count, with runs of the stage
 * and from the instrument asked for, the newest by the day they were made (else measured, else saved).
 */
export function groundOf<L extends GroundLot>(all: readonly L[], question: GroundQuestion): Ground<L> {
  const { materialId, exceptLotId, most = maxGroundLots } = question;
  const own = all.filter((lot) => lot.materialId === materialId && lot.id !== exceptLotId);
  const judged = own.map((lot) => ({ lot, why: whyNot(lot, question) }));
  const teaching = judged
    .filter(({ why }) => why === null)
    .map(({ lot }) => lot)
    .toSorted(newestFirst);
  return {
    lots: teaching.slice(0, most),
    independent: families(teaching.slice(0, most)).length,
    leftOut: [
      ...judged.flatMap(({ lot, why }) => (why === null ? [] : [{ lotId: lot.id, why }])),
      ...teaching.slice(most).map((lot) => ({ lotId: lot.id, why: `older than the newest ${most} lots` })),
    ],
  };
}

function whyNot(lot: GroundLot, { stage, instrument }: GroundQuestion): string | null {
  if (lot.exclusionReason !== null) return `excluded: ${lot.exclusionReason}`;
  const runs = stage === undefined ? lot.stages : lot.stages.filter((each) => each.stage === stage);
  if (stage !== undefined && runs.length === 0) return `no runs of ${stage} powder`;
  if (
    instrument !== undefined &&
    runs.every((each) => each.instrument !== null && each.instrument !== instrument)
  )
    return `measured on another instrument than ${instrument}`;
  return null;
}

/** The day a lot is ordered by: made, else measured, else saved. */
export function dayOf(lot: Pick<GroundLot, "madeOn" | "measuredOn" | "savedAt">): string {
  return lot.madeOn ?? lot.measuredOn ?? lot.savedAt;
}

function newestFirst(a: GroundLot, b: GroundLot): number {
  const [dayA, dayB] = [dayOf(a), dayOf(b)];
  if (dayA !== dayB) return dayA < dayB ? 1 : -1;
  return b.id - a.id;
}

/** The instruments that the runs of a ground name, each once; of runs that name none nothing is said. */
function instrumentsOf({ lots }: Ground): readonly string[] {
  return [...new Set(lots.flatMap((lot) => lot.stages.flatMap(({ instrument }) => instrument ?? [])))];
}

/**
 * What an answer rests on, as it is printed beside it: the lots, the mills they were made on and the instruments they were
 * measured with, where these are known.
 *
 * @example groundSentence(ground, { material: "garnet", mills: ["mill A"] })  // "six lots of garnet, on mill A, measured with laser A"
 */
export function groundSentence(
  ground: Ground,
  names: {
    readonly material: string;
    readonly stage?: string;
    readonly mills?: readonly string[];
  },
): string {
  const what = `${names.material}${names.stage === undefined ? "" : `, ${names.stage}`}`;
  const { mills = [] } = names;
  const instruments = instrumentsOf(ground);
  const where = [
    ...(mills.length === 0 ? [] : [`on ${listed(mills)}`]),
    ...(instruments.length === 0 ? [] : [`measured with ${listed(instruments)}`]),
  ];
  const lots = [`${counted(ground.lots.length, "lot")} of ${what}`, ...where].join(", ");
  return ground.independent === ground.lots.length ? lots : `${lots} (${ground.independent} independent)`;
}
