import { type Kysely, sql } from "kysely";
import type { Damaged, NewLot, Saved, SavedLot, SavedMeasurement } from "#api/records/records.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesOf, entryOf, readEntries } from "#api/store/ledger/entries.ts";
import { plain } from "#api/store/ledger/eventWriter.ts";
import { append, type Occasion, type Written } from "#api/store/ledger/ledger.ts";
import { folded } from "#model/lot/processSteps.ts";
import { stages } from "#model/lot/stages.ts";
import { lotToKeep, refuseWhileNamed, type StateTold, stateToKeep } from "./lotToKeep.ts";

/** What of the list is wanted. */
export interface LotQuery {
  /** Words that all must occur in name, material or note. */
  readonly search?: string;
  /** Only those of this material. */
  readonly material?: string;
  readonly state?: SavedLot["state"]["name"];
  readonly offset?: number;
  readonly limit?: number;
  /** As they were saved, or the newest first. */
  readonly order?: "saved" | "newest";
}

/** Lots, each with its runs. */
export function makeLots(db: Kysely<Tables>, clock: () => Date) {
  const change = (occasion: Occasion, work: Parameters<typeof append>[3]) =>
    append(db, clock, occasion, work);
  return {
    /** The lots that are asked for, how many there are of them, and those that are damaged. */
    async lots(
      asked: LotQuery = {},
    ): Promise<{ lots: SavedLot[]; total: number; damaged: readonly Damaged[] }> {
      const found = lotsAsked(db, asked);
      let query = found
        .select(["id", "body", "checksum", "version"])
        .orderBy("id", asked.order === "newest" ? "desc" : "asc");
      if (asked.limit !== undefined) query = query.limit(asked.limit).offset(asked.offset ?? 0);
      const rows = await query.execute();
      const counted =
        asked.limit === undefined
          ? rows.length
          : Number((await found.select((eb) => eb.fn.countAll().as("total")).executeTakeFirst())?.total ?? 0);
      const { kept, damaged } = readEntries("lot", rows);
      const { limit, search, material, state } = asked;
      const isAll = [limit, search, material, state].every((asks) => asks === undefined);
      const runs = await countRuns(db, isAll ? null : rows.map((r) => r.id));
      const materials = await materialIds(db);
      return { lots: kept.map((lot) => withRuns(lot, runs, materials)), total: counted, damaged };
    },

    /** A lot with its runs; null when there is none. @throws DamagedEntry */
    async lot(id: number): Promise<{
      lot: SavedLot;
      measurements: SavedMeasurement[];
      damaged: readonly Damaged[];
    } | null> {
      const lot = await entryOf(db, "lot", id);
      if (lot === null) return null;
      const runs = await entriesOf(db, "measurement", id);
      return {
        lot: withRuns(lot, await countRuns(db, [id]), await materialIds(db)),
        measurements: runs.kept.map(({ id: run, version, body: { importId: _, ...body } }) => ({
          id: run,
          version,
          ...body,
        })),
        damaged: runs.damaged,
      };
    },

    /** The lot, and its material where the name finds none, in one change. */
    keepLot: (lot: NewLot, occasion: Occasion): Promise<Written> =>
      change(occasion, async (writer) => {
        const body = await lotToKeep(writer, lot, { id: await writer.nextId("lot"), was: null });
        await writer.make("lot", { ...body, keptAt: clock().toISOString() });
        return { what: `saved lot "${lot.name}"` };
      }),

    changeLot: (id: number, lot: NewLot, expected: number | null, occasion: Occasion): Promise<Written> =>
      change(occasion, async (writer) => {
        const was = await writer.read("lot", id, expected);
        const body = await lotToKeep(writer, lot, { id, was });
        await writer.change("lot", id, expected, () => ({ ...body, keptAt: was.keptAt }));
        if ((body.exclusionReason === undefined) !== (was.exclusionReason === undefined))
          return {
            what: `${body.exclusionReason === undefined ? "included again:" : "excluded"} lot "${lot.name}"`,
          };
        return {
          what:
            was.name === lot.name
              ? `changed lot "${lot.name}"`
              : `renamed lot "${was.name}" to "${lot.name}"`,
        };
      }),

    /** Says that a lot is on hold, released, gone into another and so on; who and when stand beside it. */
    setState: (id: number, told: StateTold, expected: number | null, occasion: Occasion): Promise<Written> =>
      change(occasion, async (writer) => {
        const state = await stateToKeep(writer, id, { ...told, by: occasion.by, at: clock().toISOString() });
        const was = await writer.change("lot", id, expected, (now) => ({ ...now, state }));
        return { what: `marked lot "${was.name}" ${state.name}` };
      }),

    removeLot: (id: number, expected: number | null, occasion: Occasion): Promise<Written> =>
      change(occasion, async (writer) => {
        const was = await writer.remove("lot", id, expected);
        await refuseWhileNamed(writer.tx, id, was.name);
        return { what: `deleted lot "${was.name}"` };
      }),
  };
}

function lotsAsked(db: Kysely<Tables>, { search = "", material, state }: LotQuery) {
  let found = db.selectFrom("entries").where("kind", "=", "lot");
  for (const word of search
    .toLowerCase()
    .split(/\s+/)
    .filter((w) => w !== ""))
    found = found.where(sql<boolean>`words like ${`%${word.replace(/[\\%_]/g, "\\$&")}%`} escape '\\'`);
  if (material !== undefined)
    found = found.where("parent", "is", null).where("part", "=", plain(folded(material)));
  if (state !== undefined) {
    // A quote inside a text is escaped in JSON, so no name or note reads like this.
    const saysSo = sql<boolean>`body like ${`%"state":{"name":"${state}",%`}`;
    const saysNothing = sql<boolean>`body not like ${'%"state":{"name":"%'}`;
    found = found.where(state === "open" ? sql<boolean>`(${saysSo} or ${saysNothing})` : saysSo);
  }
  return found;
}

/** The numbers of the materials by their folded names. */
async function materialIds(db: Kysely<Tables>): Promise<ReadonlyMap<string, number>> {
  const rows = await db.selectFrom("entries").select(["id", "part"]).where("kind", "=", "material").execute();
  return new Map(rows.map(({ id, part }) => [part, id]));
}

type RunsByLot = ReadonlyMap<number, ReadonlyMap<string, number>>;

/** How many runs that count each stage of each lot has. @param lotIds  null for all */
async function countRuns(db: Kysely<Tables>, lotIds: readonly number[] | null): Promise<RunsByLot> {
  if (lotIds?.length === 0) return new Map();
  let query = db
    .selectFrom("entries")
    .select(["parent", "part", (eb) => eb.fn.countAll().as("runs")])
    .where("kind", "=", "measurement")
    .groupBy(["parent", "part"]);
  if (lotIds !== null) query = query.where("parent", "in", [...lotIds]);
  const runs = new Map<number, Map<string, number>>();
  for (const row of await query.execute()) {
    if (row.parent === null) continue;
    const ofLot = runs.get(row.parent) ?? new Map<string, number>();
    runs.set(row.parent, ofLot.set(row.part, Number(row.runs)));
  }
  return runs;
}

/** What a lot is while nothing was said of it. */
const open = { name: "open", by: "", at: "", why: "", lotId: null } as const;

function withRuns(
  { id, version, body }: Saved<"lot">,
  runs: RunsByLot,
  materials: ReadonlyMap<string, number>,
): SavedLot {
  const ofLot = runs.get(id);
  const { dateMade = null, parents = [], state = open, exclusionReason = null, ...told } = body;
  return {
    id,
    version,
    ...told,
    stages: stages.flatMap((stage) => {
      const count = ofLot?.get(stage);
      return count === undefined ? [] : [{ stage, runs: count }];
    }),
    materialId: materials.get(plain(folded(body.material))) ?? null,
    dateMade,
    parents,
    state,
    exclusionReason,
  };
}
