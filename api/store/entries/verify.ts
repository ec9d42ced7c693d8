import type { Kysely } from "kysely";
import { sha256 } from "#api/records/checksum.ts";
import { kindNames } from "#api/records/kinds.ts";
import { listFaults, listLots } from "#api/store/database/lotList.ts";
import { record } from "#api/store/database/record.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { damageOf, entriesOf, readEntries } from "#api/store/ledger/entries.ts";
import { entryRow } from "#api/store/ledger/eventWriter.ts";
import { lockRecord } from "#api/store/ledger/ledger.ts";
import { Replay } from "#api/store/ledger/replay.ts";
import { hashHolds } from "./releaseRecords.ts";

/** What was gone through, and every fault as a sentence. */
export interface Verified {
  readonly events: number;
  readonly entries: number;
  readonly faults: readonly string[];
}

/** Goes through all that is kept: every checksum, the record from its start, and whether what stands follows from it. */
export async function verify(db: Kysely<Tables>): Promise<Verified> {
  const replay = new Replay();
  for await (const { event, changes } of record(db)) replay.take(event, changes);
  replay.compareStandings(await db.selectFrom("events").select(["seq", "standing"]).execute());
  const faults = [...replay.faults];
  let entries = 0;
  const seen = new Set<string>();
  for (const kind of kindNames) {
    const rows = await db.selectFrom("entries").selectAll().where("kind", "=", kind).orderBy("id").execute();
    entries += rows.length;
    for (const row of rows) {
      const key = `${kind} ${row.id}`;
      seen.add(key);
      const standing = replay.entries.get(key);
      if (damageOf(kind, row) !== null) faults.push(`${key} does not match its checksum.`);
      else if (standing === undefined) faults.push(`${key} is there, but the record does not know it.`);
      else if (standing.body !== row.body) faults.push(`${key} is not what the record says.`);
      else if (standing.version !== row.version)
        faults.push(`${key} has version ${row.version}, the record says ${standing.version}.`);
    }
    faults.push(
      ...readEntries(kind, rows)
        .damaged.filter((d) => d.message.includes("cannot be read"))
        .map((d) => d.message),
    );
  }
  faults.push(...(await listFaults(db)));
  for (const key of replay.entries.keys()) if (!seen.has(key)) faults.push(`${key} is missing.`);
  for (const { id, body } of (await entriesOf(db, "import")).kept)
    if (sha256(body.base64 === undefined ? body.text : Buffer.from(body.base64, "base64")) !== body.sha256)
      faults.push(`The text of import ${id} does not match its checksum.`);
  for (const { id, body } of (await entriesOf(db, "frozen")).kept)
    if (!hashHolds(body)) faults.push(`Frozen answer ${id} does not give its hash.`);
  return { events: replay.events, entries, faults };
}

/**
 * Writes what stands anew from the record.
 *
 * @returns  how many entries were set right
 * @throws Error  the record itself has a fault: then a backup is needed
 */
export function mend(db: Kysely<Tables>): Promise<number> {
  return db.transaction().execute(async (tx) => {
    await lockRecord(tx);
    const replay = new Replay();
    for await (const { event, changes } of record(tx)) replay.take(event, changes);
    if (replay.faults[0] !== undefined)
      throw new Error(
        `The record itself has a fault, so nothing was changed: ${replay.faults[0]} Restore a backup.`,
      );
    let mended = 0;
    const rows = await tx.selectFrom("entries").selectAll().execute();
    const now = new Map(rows.map((row) => [`${row.kind} ${row.id}`, row]));
    for (const [key, { kind, id, body, version }] of replay.entries) {
      const right = entryRow(kind, id, body, version);
      const row = now.get(key);
      now.delete(key);
      if (row !== undefined && JSON.stringify({ ...row }) === JSON.stringify(right)) continue;
      await tx.deleteFrom("entries").where("kind", "=", kind).where("id", "=", id).execute();
      await tx.insertInto("entries").values(right).execute();
      mended++;
    }
    for (const { kind, id } of now.values()) {
      await tx.deleteFrom("entries").where("kind", "=", kind).where("id", "=", id).execute();
      mended++;
    }
    if (mended > 0 || (await listFaults(tx)).length > 0) {
      await tx.deleteFrom("lot_list").execute();
      await tx.deleteFrom("lot_stages").execute();
      await listLots(tx, null);
    }
    return mended;
  });
}
