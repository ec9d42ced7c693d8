import { type Kysely, sql } from "kysely";
import { sha256 } from "#api/records/checksum.ts";
import type { Bodies, Damaged, NewLot, Saved, SavedLot, SavedMeasurement } from "#api/records/records.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesOf, entryOf, readEntries } from "#api/store/ledger/entries.ts";
import { append, type Occasion, type Written } from "#api/store/ledger/ledger.ts";
import {
  measurementMetadata,
  mergedMetadata,
  type PartialMetadata,
  withStated,
} from "#distributions/measurementMetadata.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import { type Stage, stages } from "#model/lot/stages.ts";

/** A table that was brought in, kept as received beside what was read from it. */
export interface Received {
  readonly file: string | null;
  readonly text: string;
  /** As received; absent for what came as text. */
  readonly bytes?: Uint8Array;
  readonly options: ReadingOptions;
}

/** What of the list is wanted. */
export interface LotQuery {
  /** Words that all must occur in name, material or note. */
  readonly search?: string;
  readonly offset?: number;
  readonly limit?: number;
}

/** Lots, their runs and the tables they came from. */
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
      let query = found.select(["id", "body", "checksum", "version"]).orderBy("id");
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
      change(occasion, async (pen) => {
        await pen.make("lot", { ...lot, keptAt: clock().toISOString() });
        return { what: `kept lot "${lot.name}"` };
      }),

    changeLot: (id: number, lot: NewLot, expected: number | null, occasion: Occasion): Promise<Written> =>
      change(occasion, async (pen) => {
        const was = await pen.change("lot", id, expected, (now) => ({ ...lot, keptAt: now.keptAt }));
        return {
          what:
            was.name === lot.name
              ? `changed lot "${lot.name}"`
              : `renamed lot "${was.name}" to "${lot.name}"`,
        };
      }),

    removeLot: (id: number, expected: number | null, occasion: Occasion): Promise<Written> =>
      change(occasion, async (pen) => {
        const was = await pen.remove("lot", id, expected, [
          "import",
          "measurement",
          "stage",
          "result",
          "batch",
        ]);
        return { what: `deleted lot "${was.name}"` };
      }),

    /** All measurements of one table, or none. */
    keepMeasurements: (
      lotId: number,
      stage: Stage,
      measurements: readonly NamedMeasurement[],
      from: Received,
      occasion: Occasion,
    ): Promise<Written> =>
      change(occasion, async (pen) => {
        const { file, text, options, bytes = Buffer.from(text) } = from;
        const isText = Buffer.from(text).equals(bytes);
        const keptAt = clock().toISOString();
        const lot = await pen.read("lot", lotId);
        const importId = await pen.make("import", {
          lotId,
          file,
          text,
          sha256: sha256(bytes),
          ...(isText ? {} : { base64: Buffer.from(bytes).toString("base64") }),
          options,
          keptAt,
        });
        for (const { name, distribution, howMeasured: how = {} } of measurements)
          await pen.make("measurement", {
            lotId,
            importId,
            stage,
            name,
            file,
            distribution,
            asideBecause: null,
            ...withStated(how),
          });
        const count = measurements.length === 1 ? "a run" : `${measurements.length} runs`;
        return { what: `brought ${count} of ${stage} into lot "${lot.name}"` };
      }),

    changeMeasurement: (
      id: number,
      change_: Run & { readonly howMeasured?: PartialMetadata | undefined },
      expected: number | null,
      occasion: Occasion,
    ): Promise<Written> =>
      change(occasion, async (pen) => {
        const { howMeasured: told, ...run } = change_;
        const was = await pen.change("measurement", id, expected, ({ howMeasured: how = {}, ...now }) => ({
          ...now,
          ...run,
          ...withStated(told === undefined ? how : measurementMetadata(told)),
        }));
        const { name } = await pen.read("lot", was.lotId);
        return { what: `${doneTo(was, change_)} of lot "${name}"` };
      }),

    /** Lays what is told of how they were measured over what these runs state; all of them, or none. */
    noteHowMeasured: (
      runs: readonly { readonly id: number; readonly version: number }[],
      told: PartialMetadata,
      occasion: Occasion,
    ): Promise<Written> =>
      change(occasion, async (pen) => {
        let lotId = 0;
        for (const { id, version } of runs)
          ({ lotId } = await pen.change("measurement", id, version, (now) => mergedMetadata(now, told)));
        const { name } = await pen.read("lot", lotId);
        const what = runs.length === 1 ? "a run was" : `${runs.length} runs were`;
        return { what: `noted how ${what} measured, of lot "${name}"` };
      }),

    /** The table a run came from, as received. */
    importOf: async (measurementId: number): Promise<Saved<"import"> | null> => {
      const run = await entryOf(db, "measurement", measurementId);
      return run === null ? null : entryOf(db, "import", run.body.importId);
    },
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

type Run = Pick<Bodies["measurement"], "name" | "stage" | "asideBecause">;

function doneTo(was: Run, now: Run): string {
  const run = `run "${now.name}" (${now.stage})`;
  if (was.asideBecause === null && now.asideBecause !== null) return `set aside ${run}`;
  if (was.asideBecause !== null && now.asideBecause === null) return `took back ${run}`;
  if (was.stage !== now.stage) return `moved ${run} from ${was.stage}`;
  return was.name === now.name ? `changed ${run}` : `renamed run "${was.name}" to "${now.name}"`;
}
