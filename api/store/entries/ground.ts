import type { Kysely } from "kysely";
import type { Bodies } from "#api/records/kinds.ts";
import type { Saved, SavedLot } from "#api/records/records.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesOf, readEntries } from "#api/store/ledger/entries.ts";
import { plain } from "#api/store/ledger/eventWriter.ts";
import {
  type Ground,
  type GroundQuestion,
  groundOf,
  groundSentence,
  mostTeachingLots,
  type TeachingLot,
} from "#model/lot/ground.ts";
import { folded } from "#model/lot/processSteps.ts";
import type { Stage } from "#model/lot/stages.ts";

type Run = Saved<"measurement">;

/** A lot that may teach, as kept, with its runs that count. */
export interface KeptTeacher extends TeachingLot {
  readonly version: number;
  readonly lot: Bodies["lot"];
  readonly runs: readonly Run[];
}

export interface KeptGround extends Ground<KeptTeacher> {
  readonly material: string;
  /** What an answer rests on, in words: "six lots of garnet, re-fired". */
  readonly sentence: string;
}

/** Whose lots are asked: of one material, with runs of a stage. Nothing crosses to another material but by naming it. */
export interface GroundAsked {
  readonly material: string;
  readonly stage: Stage;
  readonly instrument?: string | undefined;
  readonly exceptLotId?: number | undefined;
  /** Sixty at most, if not said. */
  readonly most?: number | undefined;
}

/**
 * The one place that says whose lots an answer rests on: report, release, history, priors and predicted BET ask it.
 * Lots are gone through from the newest back until there are enough.
 */
export async function groundFor(db: Kysely<Tables>, asked: GroundAsked): Promise<KeptGround> {
  const { material, stage, instrument, exceptLotId, most = mostTeachingLots } = asked;
  const question: GroundQuestion = {
    materialId: 0,
    stage,
    most,
    ...(instrument === undefined ? {} : { instrument }),
    ...(exceptLotId === undefined ? {} : { exceptLotId }),
  };
  const candidates: KeptTeacher[] = [];
  for (let from = 0; ; from += lotsAtOnce) {
    const lots = await newestLots(db, material, from);
    candidates.push(...(await teachersOf(db, lots)));
    const ground = groundOf(candidates, question);
    if (lots.length < lotsAtOnce || ground.lots.length >= most)
      return { ...ground, material, sentence: sentenceOf(ground, asked) };
  }
}

const lotsAtOnce = 100;

async function newestLots(db: Kysely<Tables>, material: string, from: number) {
  const rows = await db
    .selectFrom("entries")
    .select(["id", "body", "checksum", "version"])
    .where("kind", "=", "lot")
    .where("part", "=", plain(folded(material)))
    .orderBy("day", "desc")
    .orderBy("id", "desc")
    .limit(lotsAtOnce)
    .offset(from)
    .execute();
  return readEntries("lot", rows).kept;
}

async function teachersOf(db: Kysely<Tables>, lots: readonly Saved<"lot">[]): Promise<KeptTeacher[]> {
  const { kept } = await entriesOf(
    db,
    "measurement",
    lots.map((lot) => lot.id),
  );
  const counted = kept.filter(({ body }) => body.exclusionReason === null);
  const ofLot = new Map<number, Run[]>();
  for (const run of counted) ofLot.set(run.body.lotId, [...(ofLot.get(run.body.lotId) ?? []), run]);
  return lots.map((lot) => teacherOf(lot, ofLot.get(lot.id) ?? []));
}

function teacherOf({ id, version, body }: Saved<"lot">, runs: readonly Run[]): KeptTeacher {
  const days = runs.flatMap((run) => run.body.howMeasured?.date ?? []).toSorted();
  return {
    id,
    version,
    lot: body,
    runs,
    name: body.name,
    // All candidates are of the one material that was asked for.
    materialId: 0,
    parents: body.parents ?? [],
    madeOn: body.dateMade ?? null,
    measuredOn: days.at(-1) ?? null,
    savedAt: body.keptAt,
    exclusionReason: body.exclusionReason ?? null,
    stages: runs.map((run) => ({
      stage: run.body.stage,
      instrument: run.body.howMeasured?.instrument ?? null,
    })),
  };
}

function sentenceOf(ground: Ground, { material, stage, instrument }: GroundAsked): string {
  const name = material.trim() === "" ? "no named material" : material.trim();
  return groundSentence(ground, {
    material: name,
    stage,
    ...(instrument === undefined ? {} : { instrument }),
  });
}

/** The ground of what is answered about a stage of a lot: the other lots of its material, or of one that is named. */
export function groundOfLot(
  db: Kysely<Tables>,
  lot: Pick<SavedLot, "id" | "material">,
  { stage, borrowFrom }: { readonly stage: Stage; readonly borrowFrom?: string | undefined },
): Promise<KeptGround> {
  return groundFor(db, { material: borrowFrom ?? lot.material, stage, exceptLotId: lot.id });
}
