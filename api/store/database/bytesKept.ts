import type { Kysely } from "kysely";
import { sha256 } from "#api/records/checksum.ts";
import { latestStep, stepWithBytes } from "./schemaStep.ts";
import type { Tables } from "./tables.ts";

/** Bytes as they stand in a backup and in a copy. */
export type KeptBytes = Tables["bytes_kept"];

/** Keeps bytes once, whoever brings them in. @returns their SHA-256 */
export async function keepBytes(db: Kysely<Tables>, bytes: Uint8Array): Promise<string> {
  const kept = { sha256: sha256(bytes), base64: Buffer.from(bytes).toString("base64") };
  await takeBytes(db, kept);
  return kept.sha256;
}

/** Keeps bytes that are those their hash names; they take the place of damaged ones. */
export async function takeBytes(db: Kysely<Tables>, kept: KeptBytes): Promise<void> {
  await db
    .insertInto("bytes_kept")
    .values(kept)
    .onConflict((at) => at.column("sha256").doUpdateSet({ base64: kept.base64 }))
    .execute();
}

/** Whether bytes are those that their hash names. */
export const isWhole = ({ sha256: hash, base64 }: KeptBytes): boolean =>
  sha256(Buffer.from(base64, "base64")) === hash;

/** The bytes of a hash; null where they are not here. @throws Error  they are not those it names any more */
export async function bytesOf(db: Kysely<Tables>, hash: string): Promise<Uint8Array<ArrayBuffer> | null> {
  const kept = await db.selectFrom("bytes_kept").selectAll().where("sha256", "=", hash).executeTakeFirst();
  if (kept === undefined) return null;
  if (!isWhole(kept)) throw new Error(`The bytes kept as ${hash} are damaged; restore them from a backup.`);
  return new Uint8Array(Buffer.from(kept.base64, "base64"));
}

/** All bytes, one after another; none in a store of before there were any. */
export async function* allBytes(db: Kysely<Tables>): AsyncGenerator<KeptBytes> {
  if ((await latestStep(db)) < stepWithBytes) return;
  for (let after = ""; ; ) {
    const kept = await db
      .selectFrom("bytes_kept")
      .selectAll()
      .where("sha256", ">", after)
      .orderBy("sha256")
      .limit(1)
      .executeTakeFirst();
    if (kept === undefined) return;
    yield kept;
    after = kept.sha256;
  }
}
