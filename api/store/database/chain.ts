import type { Kysely, Transaction } from "kysely";
import { checksumOf } from "#api/records/checksum.ts";
import { record } from "./record.ts";
import type { Tables } from "./tables.ts";

type Linked = Pick<Tables["events"], "checksum" | "request_key" | "request_hash">;

/** An event's link: what it holds, how many changes it has, and all that came before it, in one checksum. */
export function linkOf(before: string, event: Linked, changes: readonly string[]): string {
  return checksumOf(before, event.checksum, event.request_key, event.request_hash, ...changes);
}

/** The link of an event; empty before the first. */
export async function linkAt(db: Kysely<Tables>, seq: number): Promise<string> {
  const row = await db.selectFrom("links").select("link").where("seq", "=", seq).executeTakeFirst();
  return row?.link ?? "";
}

/** Writes an event's link behind that of the one before. @param changes  the checksums of its changes, in order */
export async function addLink(
  tx: Transaction<Tables>,
  event: Linked & { readonly seq: number },
  changes: readonly string[],
): Promise<void> {
  const link = linkOf(await linkAt(tx, event.seq - 1), event, changes);
  await tx.insertInto("links").values({ seq: event.seq, link }).execute();
}

const rowsAtOnce = 500;

/** Writes the links of all events anew. */
export async function linkAll(tx: Transaction<Tables>): Promise<void> {
  await tx.deleteFrom("links").execute();
  let [link, rows]: [string, Tables["links"][]] = ["", []];
  const write = async () => {
    if (rows.length > 0) await tx.insertInto("links").values(rows).execute();
    rows = [];
  };
  for await (const { event, changes } of record(tx)) {
    link = linkOf(
      link,
      event,
      changes.map(({ checksum }) => checksum),
    );
    rows.push({ seq: event.seq, link });
    if (rows.length === rowsAtOnce) await write();
  }
  await write();
}
