import { statfsSync } from "node:fs";
import { type Kysely, sql } from "kysely";
import type { Tables } from "./tables.ts";

/** Whether a PostgreSQL server takes changes: one that only follows another, or was told to, takes none. */
export async function serverTakesWriting(db: Kysely<Tables>): Promise<boolean> {
  const { rows } = await sql<{
    only: string;
  }>`select current_setting('transaction_read_only') as only`.execute(db);
  return rows[0]?.only === "off";
}

/** How many bytes are free to the server's user, the fewest of the disks of these folders; null where none can be asked. */
export function freeBytesOf(folders: readonly (string | null)[]): number | null {
  const free = folders.flatMap((folder) => {
    if (folder === null) return [];
    try {
      const { bavail, bsize } = statfsSync(folder);
      return [bavail * bsize];
    } catch {
      return [];
    }
  });
  return free.length === 0 ? null : Math.min(...free);
}
