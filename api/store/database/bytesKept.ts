import type { Kysely } from "kysely";
import { sha256 } from "#api/records/checksum.ts";
import type { Tables } from "./tables.ts";

/** The schema from which on there is a place for bytes. */
const stepWithBytes = 11;

/** Bytes as they stand in a backup and in a copy. */
export type KeptBytes = Tables["bytes_kept"];

/** Keeps bytes once, whoever brings them in. @returns their SHA-256 */
export async function keepBytes(db: Kysely<Tables>, bytes: Uint8Array): Promise<string> {
  const kept = { sha256: sha256(bytes), base64: Buffer.from(bytes).toString("base64") };
  await takeBytes(db, kept);
  return kept.sha256;
}

export async function takeBytes(db: Kysely<Tables>, kept: KeptBytes): Promise<void> {
  await db
    .insertInto("bytes_kept")
    .values(kept)
    .onConflict((at) => at.column("sha256").doNothing())
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
  const { step } = await db
    .selectFrom("schema_steps")
    .select((eb) => eb.fn.max("step").as("step"))
    .executeTakeFirstOrThrow();
  // A backup is also made of a store that has not seen the step which made a place for them.
  if (step === null || step < stepWithBytes) return;
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
