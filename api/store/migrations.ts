import { type Kysely, sql } from "kysely";
import type { Tables } from "./tables.ts";

/** Each step in the order it was added; a step that has shipped is never changed. The database counts those it has seen. */
const steps: readonly string[][] = [
  [
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
  ],
];

export async function migrate(db: Kysely<Tables>): Promise<void> {
  await db.transaction().execute(async (tx) => {
    const { rows } = await sql<{ user_version: number }>`PRAGMA user_version`.execute(tx);
    const seen = rows[0]?.user_version ?? 0;
    for (const [i, step] of steps.entries()) {
      if (i < seen) continue;
      for (const statement of step) await sql.raw(statement).execute(tx);
    }
    if (seen < steps.length) await sql.raw(`PRAGMA user_version = ${steps.length}`).execute(tx);
  });
}
