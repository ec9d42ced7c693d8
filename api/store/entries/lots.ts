import { type Kysely, sql } from "kysely";
import type { Damaged, NewLot, Saved, SavedLot, SavedMeasurement } from "#api/records/records.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesOf, entryOf, readEntries } from "#api/store/ledger/entries.ts";
import { append, type Occasion, type Written } from "#api/store/ledger/ledger.ts";
import { stages } from "#model/lot/stages.ts";

/** What of the list is wanted. */
export interface LotQuery {
  /** Words that all must occur in name, material or note. */
  readonly search?: string;
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
      let found = db.selectFrom("entries").where("kind", "=", "lot");
      for (const word of (asked.search ?? "")
        .toLowerCase()
        .split(/\s+/)
        .filter((w) => w !== ""))
        found = found.where(sql<boolean>`words like ${`%${word.replace(/[\\%_]/g, "\\$&")}%`} escape '\\'`);
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
      const isAll = asked.limit === undefined && asked.search === undefined;
      const runs = await countRuns(db, isAll ? null : rows.map((r) => r.id));
      return { lots: kept.map((lot) => withRuns(lot, runs)), total: counted, damaged };
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
        lot: withRuns(lot, await countRuns(db, [id])),
        measurements: runs.kept.map(({ id: run, version, body: { importId: _, ...body } }) => ({
          id: run,
          version,
          ...body,
        })),
        damaged: runs.damaged,
      };
    },

    keepLot: (lot: NewLot, occasion: Occasion): Promise<Written> =>
      change(occasion, async (writer) => {
        await writer.make("lot", { ...lot, keptAt: clock().toISOString() });
        return { what: `kept lot "${lot.name}"` };
      }),

    changeLot: (id: number, lot: NewLot, expected: number | null, occasion: Occasion): Promise<Written> =>
      change(occasion, async (writer) => {
        const was = await writer.change("lot", id, expected, (now) => ({ ...lot, keptAt: now.keptAt }));
        return {
          what:
            was.name === lot.name
              ? `changed lot "${lot.name}"`
              : `renamed lot "${was.name}" to "${lot.name}"`,
        };
      }),

    removeLot: (id: number, expected: number | null, occasion: Occasion): Promise<Written> =>
      change(occasion, async (writer) => {
        const was = await writer.remove("lot", id, expected);
        return { what: `deleted lot "${was.name}"` };
      }),
  };
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

function withRuns({ id, version, body }: Saved<"lot">, runs: RunsByLot): SavedLot {
  const ofLot = runs.get(id);
  return {
    id,
    version,
    ...body,
    stages: stages.flatMap((stage) => {
      const count = ofLot?.get(stage);
      return count === undefined ? [] : [{ stage, runs: count }];
    }),
  };
}
