import type { Kysely } from "kysely";
import { DamagedEntry } from "#api/records/faults.ts";
import type { Bodies } from "#api/records/kinds.ts";
import type { Saved, SavedLot } from "#api/records/records.ts";
import { goneOfPart } from "#api/store/database/lotListFaults.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesById, entriesOf, readEntries, soundIn } from "#api/store/ledger/entries.ts";
import { plain } from "#api/store/ledger/eventWriter.ts";
import {
  type Ground,
  type GroundLot,
  type GroundQuestion,
  groundOf,
  groundSentence,
  maxGroundLots,
} from "#model/lot/ground.ts";
import { folded, stageMeant, stageName } from "#model/lot/processSteps.ts";
import type { Stage } from "#model/lot/stages.ts";
import { stepsOf } from "./stageOfLot.ts";

type Run = Saved<"measurement">;

/** A lot that may teach, as kept, with its runs of the stage that count. */
export interface SavedGroundLot extends GroundLot {
  readonly version: number;
  readonly lot: Bodies["lot"];
  readonly runs: readonly Run[];
}

export interface SavedGround extends Ground<SavedGroundLot> {
  readonly material: string;
  /** The stage that was meant by the word asked. */
  readonly stage: Stage;
  /** What that stage is called. */
  readonly stageName: string;
  /** What an answer rests on, in words: "six lots of garnet, re-fired". */
  readonly sentence: string;
}

/** Whose lots are asked: of one material, with runs of a stage, by any word the material has for it. Nothing crosses to another material but by naming it. */
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
 * Lots are gone through from the newest back until there are enough, by an index: never all of them.
 */
export async function groundFor(db: Kysely<Tables>, asked: GroundAsked): Promise<SavedGround> {
  const { material, instrument, exceptLotId, most = maxGroundLots } = asked;
  const steps = await stepsOf(db, material);
  const stage = stageMeant(steps, asked.stage);
  const question: GroundQuestion = {
    materialId: 0,
    stage,
    most,
    ...(instrument === undefined ? {} : { instrument }),
    ...(exceptLotId === undefined ? {} : { exceptLotId }),
  };
  const newest = await newestLots(db, material, most + someMore);
  let candidates = await teachersOf(db, newest, stage);
  let ground = groundOf(candidates, question);
  // Lots that were never measured at the stage are many where it is a rare one: beyond the newest only those that were.
  let more = newest.length === most + someMore ? 0 : null;
  while (more !== null && ground.lots.length < most) {
    const ids = await newestMeasured(db, { material, stage }, more);
    const known = new Set(candidates.map((lot) => lot.id));
    const lots = soundIn(
      await entriesById(
        db,
        "lot",
        ids.filter((id) => !known.has(id)),
      ),
    );
    candidates = [...candidates, ...(await teachersOf(db, lots, stage))];
    ground = groundOf(candidates, question);
    more = ids.length < lotsAtOnce ? null : more + lotsAtOnce;
  }
  const about = { material, stage, stageName: stageName(steps, stage) };
  return { ...ground, ...about, sentence: sentenceOf(ground, about) };
}

const lotsAtOnce = 100;
/** Beside those that may teach: some are excluded, or are the lot that is asked about. */
const someMore = 8;

async function newestLots(db: Kysely<Tables>, material: string, most: number) {
  // What rests on the others alone would be another number, and say nothing of it.
  const gone = await goneOfPart(db, plain(folded(material)));
  if (gone !== null)
    throw new DamagedEntry({
      kind: "lot",
      id: gone,
      message: `Lot ${gone} is listed, but missing, so nothing that rests on it is shown. "fineband verify --mend" repairs it from the change history.`,
    });
  const rows = await db
    .selectFrom("entries")
    .select(["id", "body", "checksum", "version"])
    .where("kind", "=", "lot")
    .where("part", "=", plain(folded(material)))
    .orderBy("day", "desc")
    .orderBy("id", "desc")
    .limit(most)
    .execute();
  return soundIn(readEntries("lot", rows));
}

/** The newest lots of a material with runs of a stage that count. */
async function newestMeasured(
  db: Kysely<Tables>,
  { material, stage }: { readonly material: string; readonly stage: Stage },
  from: number,
): Promise<number[]> {
  const rows = await db
    .selectFrom("lot_stages")
    .select("lot")
    .where("part", "=", plain(folded(material)))
    .where("stage", "=", stage)
    .orderBy("day", "desc")
    .orderBy("lot", "desc")
    .limit(lotsAtOnce)
    .offset(from)
    .execute();
  return rows.map(({ lot }) => lot);
}

/** The lots with their runs of a stage that count. */
async function teachersOf(
  db: Kysely<Tables>,
  lots: readonly Saved<"lot">[],
  stage: Stage,
): Promise<SavedGroundLot[]> {
  const ids = lots.map((lot) => lot.id);
  const kept = soundIn(await entriesOf(db, "measurement", ids, stage));
  const ofLot = new Map<number, Run[]>();
  for (const run of kept) ofLot.set(run.body.lotId, [...(ofLot.get(run.body.lotId) ?? []), run]);
  return lots.map((lot) => groundLotOf(lot, ofLot.get(lot.id) ?? []));
}

function groundLotOf({ id, version, body }: Saved<"lot">, runs: readonly Run[]): SavedGroundLot {
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

function sentenceOf(
  ground: Ground,
  { material, stageName: called }: Pick<SavedGround, "material" | "stageName">,
  mills: readonly string[] = [],
): string {
  const name = material.trim() === "" ? "no named material" : material.trim();
  return groundSentence(ground, { material: name, stage: called, mills });
}

/** A ground without one of its lots: that lot is asked about, and teaches nothing about itself. */
export function groundWithout(ground: SavedGround, lotId: number): SavedGround {
  const rest = groundOf(ground.lots, { materialId: 0, stage: ground.stage, exceptLotId: lotId });
  return { ...ground, ...rest, sentence: sentenceOf(rest, ground) };
}

/**
 * The ground of what is answered about a stage of a lot: the other lots of its material, or of one that is named. Its
 * sentence names the mills too.
 */
export async function groundOfLot(
  db: Kysely<Tables>,
  lot: Pick<SavedLot, "id" | "material">,
  asked: {
    readonly stage: Stage;
    readonly borrowFrom?: string | undefined;
    /** A plan for the next lot learns from this one too. */
    readonly withItself?: boolean;
  },
): Promise<SavedGround> {
  const { stage, borrowFrom: material = lot.material, withItself = false } = asked;
  const ground = await groundFor(db, {
    material,
    stage,
    ...(withItself ? {} : { exceptLotId: lot.id }),
  });
  return withMills(db, ground);
}

/** The same ground, said with the mills its lots were made on. */
export async function withMills(db: Kysely<Tables>, ground: SavedGround): Promise<SavedGround> {
  return {
    ...ground,
    sentence: sentenceOf(ground, ground, await millsOf(db, ground)),
  };
}

/** The mills that made a stage of one of these lots, as far as trials say so, in the order they were saved. */
async function millsOf(db: Kysely<Tables>, { lots }: SavedGround): Promise<readonly string[]> {
  const teaching = new Set(lots.map(({ id }) => id));
  // Of the trials only those that name what they made: the text is looked through before it is read.
  const rows = await db
    .selectFrom("entries")
    .select(["id", "body", "checksum", "version"])
    .where("kind", "=", "trial")
    .where("body", "like", '%"sample":{%')
    .orderBy("id")
    .execute();
  const made = readEntries("trial", rows).kept.filter(
    ({ body }) => body.sample !== undefined && teaching.has(body.sample.lotId),
  );
  const ids = [...new Set(made.map(({ body }) => body.millId))];
  return (await entriesById(db, "mill", ids)).kept
    .toSorted((a, b) => a.id - b.id)
    .map(({ body }) => body.name);
}
