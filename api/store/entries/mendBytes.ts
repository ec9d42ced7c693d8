import type { Kysely, Transaction } from "kysely";
import { sha256 } from "#api/records/checksum.ts";
import { allBytes, isWhole, takeBytes } from "#api/store/database/bytesKept.ts";
import type { Tables } from "#api/store/database/tables.ts";

/** The hashes under which other bytes are kept than those they name. */
export async function misnamedBytes(db: Kysely<Tables>): Promise<string[]> {
  const found: string[] = [];
  for await (const kept of allBytes(db)) if (!isWhole(kept)) found.push(kept.sha256);
  return found;
}

/**
 * Keeps bytes under their own hash that were kept under another: where the name was damaged they are found again, and
 * where they are, they stay, and no longer hinder a backup. Nothing is thrown away.
 *
 * @returns  how many
 */
export async function renameBytes(tx: Transaction<Tables>): Promise<number> {
  const names: string[] = [];
  let renamed = 0;
  for await (const kept of allBytes(tx)) {
    if (isWhole(kept)) names.push(kept.sha256);
    else {
      const bytes = Buffer.from(kept.base64, "base64");
      const own = { sha256: sha256(bytes), base64: bytes.toString("base64") };
      await takeBytes(tx, own);
      names.push(own.sha256);
      renamed++;
    }
  }
  // A name that is no text any more is matched by nothing but its absence here.
  if (renamed > 0) await tx.deleteFrom("bytes_kept").where("sha256", "not in", names).execute();
  return renamed;
}
