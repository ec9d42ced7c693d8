import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { Kysely, SqliteDialect } from "kysely";
import Database from "libsql";
import { migrate } from "./migrations.ts";
import type { Tables } from "./tables.ts";

/** The file the lab's memory lives in, inside its folder. */
const fileName = "fineband.sqlite";

/**
 * Opens the store in a folder, making both when they are missing, and brings an older one up to date.
 * Write-ahead log and full synchronisation: what was acknowledged survives a power cut.
 */
export async function openDatabase(folder: string): Promise<Kysely<Tables>> {
  mkdirSync(folder, { recursive: true });
  const file = new Database(join(folder, fileName));
  file.exec(
    "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; PRAGMA busy_timeout = 5000",
  );
  const db = new Kysely<Tables>({ dialect: new SqliteDialect({ database: file }) });
  await migrate(db);
  return db;
}
