import { type Kysely, sql } from "kysely";
import { FileDatabase } from "./fileDatabase.ts";
import { KeptFile } from "./keptFile.ts";
import { isDamage } from "./storeFault.ts";
import type { Tables } from "./tables.ts";

/**
 * Reads everything as it stood at one moment, while others go on writing. Of a file through a connection of its own, so
 * that nobody waits; through the one that is open where the file is gone from its place.
 */
export async function inSnapshot<T>(
  db: Kysely<Tables>,
  work: (db: Kysely<Tables>) => Promise<T>,
): Promise<T> {
  if (db.isTransaction) return work(db);
  if (!(db instanceof FileDatabase))
    return db.transaction().setIsolationLevel("repeatable read").setAccessMode("read only").execute(work);
  const { kept } = db;
  if (kept.isMoved) return work(db);
  const reader = new FileDatabase(kept.path, new KeptFile(kept.path, false));
  try {
    return await reader.transaction().execute(work);
  } finally {
    await reader.destroy();
  }
}

/** The same of what comes piece by piece, for as long as anybody takes of it. */
export async function* streamedFromSnapshot<T>(
  db: Kysely<Tables>,
  work: (db: Kysely<Tables>) => AsyncGenerator<T>,
): AsyncGenerator<T> {
  if (db.isTransaction || (db instanceof FileDatabase && db.kept.isMoved)) {
    yield* work(db);
    return;
  }
  const isFile = db instanceof FileDatabase;
  const reader = isFile ? new FileDatabase(db.kept.path, new KeptFile(db.kept.path, false)) : db;
  try {
    const begin = reader.startTransaction();
    const snapshot = await (isFile
      ? begin
      : begin.setIsolationLevel("repeatable read").setAccessMode("read only")
    ).execute();
    try {
      yield* work(snapshot);
    } finally {
      await snapshot.rollback().execute();
    }
  } finally {
    if (isFile) await reader.destroy();
  }
}

/** What SQLite finds wrong in the file itself: its pages and its indexes. Empty on a server, which looks after its own. */
export async function fileFaults(db: Kysely<Tables>, isFile: boolean): Promise<string[]> {
  if (!isFile) return [];
  try {
    const { rows } = await sql<{
      found: string;
    }>`select integrity_check as found from pragma_integrity_check(20)`.execute(db);
    return rows.flatMap(({ found }) => (found === "ok" ? [] : [`The file itself: ${found.trim()}.`]));
  } catch (fault) {
    if (isDamage(fault)) return ["The file itself is damaged so far that it cannot be gone through."];
    throw fault;
  }
}
