import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import pg from "pg";
import { openStore } from "../../api/store/openStore.ts";
import type { Store } from "../../api/store/store.ts";
import { answersOf, askedOf } from "./answers.ts";
import { chanceFrom } from "./chance.ts";
import { backupOf, change, type Flipped, type Template, whatCameOf } from "./flips.ts";

const clock = () => new Date(0);
const tables = [
  "events",
  "changes",
  "links",
  "entries",
  "lot_list",
  "lot_stages",
  "bytes_kept",
  "ground_marks",
  "counters",
] as const;

/**
 * Changes one value of one row of a store on PostgreSQL, or takes the row away, each time in a copy of the whole; the
 * server looks after its own pages.
 *
 * @param fill  what is kept in it
 * @param take  is given what came of each
 */
export async function flipRows(
  { url, first, count }: { readonly url: string; readonly first: number; readonly count: number },
  fill: (store: Store) => Promise<unknown>,
  take: (one: Flipped) => void,
): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), "fineband-rows-"));
  const server = new pg.Client({ connectionString: url });
  await server.connect();
  try {
    await server.query("create schema whole");
    const store = await openIn("whole", url, folder);
    await fill(store);
    await change(store, 0);
    await store.summarize(100);
    const asked = await askedOf(store);
    const truth = await answersOf(store, asked);
    const template: Template = { folder, truth, asked, backup: await backupOf(store) };
    await store.close();
    for (let seed = first; seed < first + count; seed++) {
      await copyWhole(server);
      const place = await flipRow(server, chanceFrom(seed));
      take({ place, ...(await whatCameOf(await openIn("flipped", url, folder), template)) });
    }
  } finally {
    await server.end();
    rmSync(folder, { recursive: true, force: true });
  }
}

function openIn(schema: string, url: string, folder: string): Promise<Store> {
  const databaseUrl = new URL(url);
  databaseUrl.searchParams.set("options", `-c search_path=${schema}`);
  const backups = join(folder, "backups");
  return openStore({ databaseUrl: databaseUrl.href, folder, backups }, clock);
}

async function copyWhole(server: pg.Client): Promise<void> {
  const copies = [...tables, "schema_steps"].map(
    (table) =>
      `create table flipped.${table} (like whole.${table} including all); insert into flipped.${table} select * from whole.${table};`,
  );
  await server.query(`drop schema if exists flipped cascade; create schema flipped; ${copies.join(" ")}`);
}

/** One bit of one value of one row, any row as likely as any other; one in eight is taken away whole. */
async function flipRow(server: pg.Client, chance: (below: number) => number): Promise<string> {
  const counts = tables.map((table) => `select '${table}' as name, ctid::text as at from flipped.${table}`);
  const { rows } = await server.query<{ name: string; at: string }>(
    `${counts.join(" union all ")} order by 1, 2`,
  );
  const row = rows[chance(rows.length)];
  if (row === undefined) throw new Error("Nothing is kept.");
  const at = `flipped.${row.name} where ctid = '${row.at}'`;
  if (chance(8) === 0) {
    await server.query(`delete from ${at}`);
    return `${row.name} ${row.at} is gone`;
  }
  const found = await server.query<Record<string, unknown>>(`select * from ${at}`);
  const cells = Object.entries(found.rows[0] ?? {}).filter(([, value]) => value !== null && value !== "");
  const [column = "", value] = cells[chance(cells.length)] ?? [];
  const changed = flipped(value, chance);
  await server
    .query(`update flipped.${row.name} set "${column}" = $1 where ctid = '${row.at}'`, [changed])
    .catch(
      // What the server itself refuses, as a second row of one number, is no damage that can be.
      () => {},
    );
  return `${row.name} ${row.at} ${column} ${String(value).slice(0, 40)} -> ${String(changed).slice(0, 40)}`;
}

function flipped(value: unknown, chance: (below: number) => number): string | number {
  if (typeof value === "number")
    return Number.isInteger(value) ? value ^ (1 << chance(8)) : value * (1 + 2 ** -chance(30));
  const text = String(value);
  const at = chance(text.length);
  // The lower bits alone: a character of one byte stays one, and none becomes the one that no text may hold.
  const other = String.fromCharCode(text.charCodeAt(at) ^ (1 << chance(5)) || 1);
  return text.slice(0, at) + other + text.slice(at + 1);
}
