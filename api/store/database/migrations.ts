import { type Kysely, sql, type Transaction } from "kysely";
import { z } from "zod";
import { kinds } from "#api/records/kinds.ts";
import { bodyIn } from "#api/records/stored.ts";
import { folded } from "#model/lot/processSteps.ts";
import { linkAll } from "./chain.ts";
import { migrateToEntries } from "./fromFirstSchema.ts";
import { listAllOfBefore, showStages } from "./lotList.ts";
import { latestStep } from "./schemaStep.ts";
import type { Tables } from "./tables.ts";

/** Which database stands below. The steps and the queries are the same for both. */
export type Engine = "sqlite" | "postgres";

type MigrationStep = (tx: Transaction<Tables>) => Promise<void>;

const statements =
  (...texts: string[]): MigrationStep =>
  async (tx) => {
    for (const text of texts) await sql.raw(text).execute(tx);
  };

const lotBody = z
  .string()
  .transform((text, context): unknown => {
    try {
      return JSON.parse(text);
    } catch {
      context.addIssue("no JSON");
      return z.NEVER;
    }
  })
  .pipe(z.looseObject({ material: z.string(), keptAt: z.string() }));

/** Each step in the order it was added; a step that has shipped is never changed. */
const steps: readonly MigrationStep[] = [
  statements(
    `create table bands (id integer primary key, name text not null, band text not null)`,
    `create table lots (id integer primary key, name text not null, material text not null, density_g_per_cm3 real not null,
      band_id integer references bands(id), note text not null, kept_at text not null)`,
    `create table imports (id integer primary key, file text, text text not null, sha256 text not null, options text not null, kept_at text not null)`,
    `create table measurements (id integer primary key, lot_id integer not null references lots(id), stage text not null, name text not null,
      import_id integer not null references imports(id), distribution text not null)`,
    `create index measurements_of_lot on measurements(lot_id, stage)`,
    `create table mills (id integer primary key, name text not null, mill text not null)`,
    `create table trials (id integer primary key, mill_id integer not null references mills(id), name text not null, trial text not null, curve text)`,
    `create table pairs (id integer primary key, stage text not null, geometric_m2_per_g real not null, bet_m2_per_g real not null)`,
  ),
  async (tx) => {
    await statements(
      `create table events (seq integer primary key, at text not null, kind text not null, what text not null, person text not null,
        why text not null, of_seq integer references events(seq), standing text not null, request_key text unique, request_hash text,
        checksum text not null)`,
      `create index events_by_standing on events(kind, standing, seq)`,
      `create table changes (seq integer not null references events(seq), position integer not null, kind text not null, id integer not null,
        before text, after text, checksum text not null, primary key (seq, position))`,
      `create index changes_of_entry on changes(kind, id, seq)`,
      `create table entries (kind text not null, id integer not null, parent integer, part text not null, words text not null,
        body text not null, checksum text not null, version integer not null references events(seq), primary key (kind, id))`,
      `create index entries_of_parent on entries(kind, parent, part)`,
      `create table counters (name text primary key, value integer not null)`,
      `insert into counters (name, value) values ('event', 0)`,
    )(tx);
    await migrateToEntries(tx);
    await statements(
      ...["pairs", "trials", "mills", "measurements", "imports", "lots", "bands"].map(
        (t) => `drop table ${t}`,
      ),
    )(tx);
  },
  // The runs of one lot in their order, without going through those of all.
  statements(`create index entries_in_order on entries(kind, parent, id)`),
  // Lots are found by the name of their material, the newest first.
  async (tx) => {
    await statements(
      `alter table entries add column day text not null default ''`,
      `create index entries_by_day on entries(kind, part, day, id)`,
    )(tx);
    const lots = await tx.selectFrom("entries").select(["id", "body"]).where("kind", "=", "lot").execute();
    for (const { id, body } of lots)
      await tx
        .updateTable("entries")
        .set(placeIn(body))
        .where("kind", "=", "lot")
        .where("id", "=", id)
        .execute();
  },
  // The list of lots and what is computed of each, beside the entries: sorted, filtered and paged without reading a body.
  async (tx) => {
    await statements(
      `create table lot_list (lot integer primary key, part text not null, day text not null, name text not null, words text not null,
        state text not null, own_band integer, band integer, shown text not null, touched integer not null, computed integer not null,
        model text not null)`,
      `create table lot_stages (lot integer not null, stage text not null, part text not null, day text not null, runs integer not null,
        verdict text, chance double precision, d10_um double precision, d50_um double precision, d90_um double precision,
        area double precision, bet double precision, summary text, primary key (lot, stage))`,
      `create table ground_marks (part text primary key, touched integer not null)`,
      `create index lots_by_day on lot_list(day, lot)`,
      `create index lots_of_material on lot_list(part, day, lot)`,
      `create index lots_to_do on lot_list(day, lot) where computed < touched`,
      `create index lots_with_band on lot_list(part, lot) where own_band is not null`,
      `create index stages_of_material on lot_stages(part, stage, day, lot)`,
    )(tx);
    await listAllOfBefore(tx);
  },
  // What lots are sorted and filtered by, without the summaries beside it.
  statements(
    `create index stages_by_figures on lot_stages(lot, stage, verdict, chance, d10_um, d50_um, d90_um, area, bet)`,
  ),
  // Every event is tied to all before it, and what was computed of a stage bears a checksum.
  async (tx) => {
    await statements(
      `create table links (seq integer primary key, link text not null)`,
      `alter table lot_stages add column checksum text not null default ''`,
      `update lot_list set computed = 0`,
    )(tx);
    await linkAll(tx);
  },
  // The list holds what was computed of the stage shown, so that sorting by it walks one index.
  async (tx) => {
    const figures = ["chance", "d10_um", "d50_um", "d90_um", "area", "bet"];
    await statements(
      `alter table lot_list add column verdict text`,
      ...figures.map((figure) => `alter table lot_list add column ${figure} double precision`),
      `alter table lot_list add column checksum text not null default ''`,
      `create index lots_by_name on lot_list(name, lot)`,
      ...figures.map((figure) => `create index lots_by_${figure} on lot_list(${figure}, lot)`),
    )(tx);
    const entered = ["lot", "band", "shown", "model"] as const;
    const rows = await tx.selectFrom("lot_list").select(entered).where("computed", ">", 0).execute();
    // What is shown holds until it is computed anew, with how each limit is met.
    await showStages(
      tx,
      rows.map((row) => ({ ...row, computed: 0 })),
    );
  },
  // A stage that is named is sorted by its own figures, and few lots of a state or verdict are found without the others.
  statements(
    ...["chance", "d10_um", "d50_um", "d90_um", "area", "bet"].map(
      (figure) => `create index stages_by_${figure} on lot_stages(stage, ${figure}, lot)`,
    ),
    `create index stages_filtered on lot_stages(stage, verdict, chance, d50_um, bet, lot)`,
    `create index lots_of_state on lot_list(state, name, lot)`,
    `create index lots_by_verdict on lot_list((case verdict when 'in band' then 4 when 'on the edge' then 3
      when 'out of band' then 2 when 'too few runs' then 1 end), lot)`,
  ),
  // A file or a curve that is brought in again is found by what it holds.
  markContents,
  statements(`create table bytes_kept (sha256 text primary key, base64 text not null)`),
];

/** How many entries are read at once: a store may be larger than the memory. */
const markedAtOnce = 500;

/** Writes down by what tables and runs that were saved before are found. What is damaged stays as it is. */
async function markContents(tx: Transaction<Tables>): Promise<void> {
  for (const kind of ["import", "measurement"] as const) {
    let last = 0;
    for (;;) {
      const rows = await tx
        .selectFrom("entries")
        .select(["id", "body"])
        .where("kind", "=", kind)
        .where("id", ">", last)
        .orderBy("id")
        .limit(markedAtOnce)
        .execute();
      for (const { id, body } of rows) {
        const found = foundBy(kind, body);
        if (found !== null)
          await tx.updateTable("entries").set(found).where("kind", "=", kind).where("id", "=", id).execute();
      }
      const end = rows.at(-1)?.id;
      if (end === undefined) break;
      last = end;
    }
  }
}

function foundBy(
  kind: "import" | "measurement",
  text: string,
): { readonly part: string } | { readonly day: string } | null {
  try {
    return kind === "import"
      ? { part: kinds.import.part(bodyIn("import", text)) }
      : { day: kinds.measurement.day(bodyIn("measurement", text)) };
  } catch {
    return null;
  }
}

/** The folded name of a lot's material and the day it was saved; both empty where the body is damaged. */
function placeIn(body: string) {
  const { material, keptAt } = lotBody.safeParse(body).data ?? { material: "", keptAt: "" };
  return { part: folded(material).replaceAll("\u0000", ""), day: keptAt };
}

/** The schema from which on there is a record of what happened, of which a backup can be made. */
const firstWithRecord = 2;

/**
 * Brings a database up to the present schema, one step after the other, all or nothing.
 *
 * @param backUp  makes a backup of a database that is about to be changed
 * @throws Error  a later version of the program kept it
 */
export async function migrate(
  db: Kysely<Tables>,
  engine: Engine,
  backUp: () => Promise<unknown> = async () => {},
): Promise<void> {
  const before = await underLock(db, engine, (tx) => seenSteps(tx, engine));
  if (before >= firstWithRecord && before < steps.length) await backUp();
  await underLock(db, engine, async (tx) => {
    const seen = await seenSteps(tx, engine);
    for (const [i, step] of steps.entries()) {
      if (i < seen) continue;
      await step(tx);
      await tx
        .insertInto("schema_steps")
        .values({ step: i + 1 })
        .execute();
    }
    if (engine === "sqlite" && seen < steps.length)
      await sql.raw(`PRAGMA user_version = ${steps.length}`).execute(tx);
  });
}

/** Two servers that start at once must not both take the steps. */
function underLock<T>(
  db: Kysely<Tables>,
  engine: Engine,
  work: (tx: Transaction<Tables>) => Promise<T>,
): Promise<T> {
  return db.transaction().execute(async (tx) => {
    if (engine === "postgres") await sql`select pg_advisory_xact_lock(8417)`.execute(tx);
    await sql`create table if not exists schema_steps (step integer primary key)`.execute(tx);
    return work(tx);
  });
}

/** How many steps a database has seen. The first schema counted them in SQLite's user_version alone. */
async function seenSteps(tx: Transaction<Tables>, engine: Engine): Promise<number> {
  const seen = await countedSteps(tx, engine);
  if (seen <= steps.length) return seen;
  throw new Error(
    `it was kept by a later version of Fineband (schema ${seen}; this one knows ${steps.length})`,
  );
}

async function countedSteps(tx: Transaction<Tables>, engine: Engine): Promise<number> {
  const last = await latestStep(tx);
  if (engine === "postgres") return last;
  const { rows } = await sql<{ user_version: number }>`PRAGMA user_version`.execute(tx);
  return Math.max(last, rows[0]?.user_version ?? 0);
}
