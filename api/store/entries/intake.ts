import type { Kysely } from "kysely";
import { sha256 } from "#api/records/checksum.ts";
import type { NewLot } from "#api/records/records.ts";
import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesById, entriesOf } from "#api/store/ledger/entries.ts";
import type { EventWriter } from "#api/store/ledger/eventWriter.ts";
import { append, type ChangeContext, lastEvent, type Written } from "#api/store/ledger/ledger.ts";
import { withStated } from "#distributions/measurementMetadata.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import {
  type KnownLab,
  knownLab,
  placeOf,
  type RunNamed,
  type RunPlace,
  type RunSaid,
  saidByNames,
} from "#model/intake/intake.ts";
import type { NamePattern } from "#model/intake/namePattern.ts";
import { type Stage, stages } from "#model/lot/stages.ts";
import { counted, listed } from "#model/words/wording.ts";
import { lotToKeep } from "./lotToKeep.ts";

/** A measurement that is to be filed, with what a person said of it and what it is known again by. */
export interface RunToPlace extends RunNamed {
  readonly said?: RunSaid | undefined;
  /** Of its curve. */
  readonly mark?: string | undefined;
  /** Of the file it stands in. */
  readonly sha256?: string | undefined;
}

/** What is saved already and holds the same. */
export interface Double {
  readonly as: "same file" | "same curve";
  readonly lotId: number;
  readonly lot: string;
  readonly stage: Stage | null;
  readonly name: string;
}

export type PlacedRun = RunPlace & { readonly double: Double | null };

/** A run of a table and where it is to go: a lot that is there, or the place of a new one in the list of new lots. */
export interface FiledRun {
  readonly measurement: NamedMeasurement;
  readonly lot: { readonly id: number } | { readonly newLot: number };
  readonly stage: Stage;
  readonly portion: string | null;
}

/** A table as received with all of its runs that are to be saved. */
export interface FiledTable {
  readonly file: string | null;
  readonly text: string;
  readonly bytes: Uint8Array;
  readonly options: ReadingOptions;
  readonly runs: readonly FiledRun[];
}

/** Many files at once: where their measurements go, and saving them as one change. */
export function makeIntake(db: Kysely<Tables>, clock: () => Date) {
  let known: { readonly event: number; readonly lab: KnownLab } | null = null;
  /** What names are read against; made anew only after a change. */
  const lab = async (): Promise<KnownLab> => {
    const event = await lastEvent(db);
    if (known?.event !== event) known = { event, lab: await labOf(db) };
    return known.lab;
  };
  return {
    /** What names are read against. */
    knownLab: lab,

    /** Where each measurement goes by its names and what was said of it, and what is saved already and holds the same. */
    async places(runs: readonly RunToPlace[], pattern: NamePattern | null = null): Promise<PlacedRun[]> {
      const now = await lab();
      const doubles = await doublesOf(db, runs);
      return runs.map((run) => ({
        ...placeOf(saidByNames(run, now, pattern), run.said ?? {}, now),
        double: doubles.get(`same file ${run.sha256}`) ?? doubles.get(`same curve ${run.mark}`) ?? null,
      }));
    },

    /** New lots, and every run of these tables, as one change: all of it or nothing. */
    keepIntake: (
      { lots, tables }: { readonly lots: readonly NewLot[]; readonly tables: readonly FiledTable[] },
      occasion: ChangeContext,
    ): Promise<Written> =>
      append(db, clock, occasion, async (writer) => {
        const keptAt = clock().toISOString();
        const made: number[] = [];
        for (const lot of lots) {
          const body = await lotToKeep(writer, lot, { id: await writer.nextId("lot"), was: null });
          made.push(await writer.make("lot", { ...body, keptAt }));
        }
        const names = new Map(lots.map((lot, i) => [made[i], lot.name]));
        await keepTables(writer, { tables, made, names, keptAt });
        const runs = tables.reduce((sum, { runs: of }) => sum + of.length, 0);
        return { what: `imported ${counted(runs, "run")} into ${lotsNamed([...names.values()])}` };
      }),
  };
}

const maxNamed = 3;

/** The first few lots by their names, and how many more there are. */
export function lotsNamed(names: readonly string[]): string {
  const quoted = names.slice(0, maxNamed).map((name) => `"${name}"`);
  const rest = names.length - maxNamed;
  const all = rest > 0 ? [...quoted, `${rest} more`] : quoted;
  return `${names.length === 1 ? "lot" : "lots"} ${listed(all)}`;
}

/** Tables as received with the runs that are saved of them. */
export async function keepTables(
  writer: EventWriter,
  {
    tables,
    ...to
  }: { readonly tables: readonly FiledTable[] } & Omit<Parameters<typeof keepTable>[1], "table">,
): Promise<void> {
  for (const table of tables) await keepTable(writer, { ...to, table });
}

/** A table is kept once for each lot that takes runs of it, since it is deleted with its lot. */
async function keepTable(
  writer: EventWriter,
  to: {
    readonly table: FiledTable;
    readonly made: readonly number[];
    readonly names: Map<number | undefined, string>;
    readonly keptAt: string;
  },
): Promise<void> {
  const { table, made, names, keptAt } = to;
  const { file, text, bytes, options } = table;
  const isText = Buffer.from(text).equals(bytes);
  const received = {
    file,
    text,
    sha256: sha256(bytes),
    ...(isText ? {} : { base64: Buffer.from(bytes).toString("base64") }),
  };
  for (const [lotId, runs] of byLot(table.runs, made)) {
    if (!names.has(lotId)) names.set(lotId, (await writer.read("lot", lotId)).name);
    const isPart = runs.length < table.runs.length;
    const only = isPart ? { only: runs.map(({ measurement }) => measurement.name) } : {};
    const importId = await writer.make("import", {
      lotId,
      ...received,
      options: { ...options, ...only },
      keptAt,
    });
    for (const { measurement, stage, portion } of runs)
      await writer.make("measurement", {
        lotId,
        importId,
        stage,
        name: measurement.name,
        file,
        distribution: measurement.distribution,
        exclusionReason: null,
        ...withStated(measurement.howMeasured ?? {}),
        ...withoutUndefined({
          portion: portion === null ? undefined : { name: portion, drawn: "", massG: null, day: null },
        }),
      });
  }
}

function byLot(runs: readonly FiledRun[], made: readonly number[]): ReadonlyMap<number, readonly FiledRun[]> {
  const grouped = new Map<number, FiledRun[]>();
  for (const run of runs) {
    const id = "id" in run.lot ? run.lot.id : made[run.lot.newLot];
    if (id === undefined) throw new Error("A run names a new lot that is not in the list.");
    grouped.set(id, [...(grouped.get(id) ?? []), run]);
  }
  return grouped;
}

async function labOf(db: Kysely<Tables>): Promise<KnownLab> {
  const materials = (await entriesOf(db, "material")).kept.map(({ body }) => body);
  const lots = (await entriesOf(db, "lot")).kept.map(({ id, body: { name, material } }) => ({
    id,
    name,
    material,
  }));
  return knownLab(materials, lots);
}

const askedAtOnce = 500;

/** What holds the same as these, by what it is the same as. */
async function doublesOf(
  db: Kysely<Tables>,
  runs: readonly RunToPlace[],
): Promise<ReadonlyMap<string, Double>> {
  const files = [...new Set(runs.flatMap((run) => run.sha256 ?? []))];
  const marks = [...new Set(runs.flatMap((run) => run.mark ?? []))];
  const tables = await entriesFoundBy(db, "import", files);
  const curves = await entriesFoundBy(db, "measurement", marks);
  const lotIds = [...tables, ...curves].map(({ body }) => body.lotId);
  const names = new Map(
    (await entriesById(db, "lot", [...new Set(lotIds)])).kept.map(({ id, body }) => [id, body.name]),
  );
  const found = new Map<string, Double>();
  const note = (key: string, double: Omit<Double, "lot">) => {
    const lot = names.get(double.lotId);
    if (lot !== undefined && !found.has(key)) found.set(key, { ...double, lot });
  };
  for (const { body } of tables)
    note(`same file ${body.sha256}`, {
      as: "same file",
      lotId: body.lotId,
      stage: null,
      name: body.file ?? "a pasted table",
    });
  for (const { mark, body } of curves)
    note(`same curve ${mark}`, { as: "same curve", lotId: body.lotId, stage: body.stage, name: body.name });
  return found;
}

/** Tables by their SHA-256, or runs by the marks of their curves, through the index over both. */
async function entriesFoundBy<K extends "import" | "measurement">(
  db: Kysely<Tables>,
  kind: K,
  wanted: readonly string[],
) {
  const column = kind === "import" ? "part" : "day";
  const found: { readonly id: number; readonly mark: string }[] = [];
  for (let from = 0; from < wanted.length; from += askedAtOnce) {
    let query = db
      .selectFrom("entries")
      .select(["id", `${column} as mark`])
      .where("kind", "=", kind)
      .where(column, "in", wanted.slice(from, from + askedAtOnce));
    if (kind === "measurement") query = query.where("part", "in", ["", ...stages]);
    found.push(...(await query.execute()));
  }
  const marks = new Map(found.map(({ id, mark }) => [id, mark]));
  const { kept } = await entriesById(db, kind, [...marks.keys()]);
  return kept.map(({ id, body }) => ({ id, mark: marks.get(id) ?? "", body }));
}
