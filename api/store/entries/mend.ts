import { type Kysely, sql, type Transaction } from "kysely";
import { kindNames } from "#api/records/kinds.ts";
import { addLink, linkAll } from "#api/store/database/chain.ts";
import { acceptLoss, FileDatabase, lossOf } from "#api/store/database/fileDatabase.ts";
import { listLots } from "#api/store/database/lotList.ts";
import { listFaults } from "#api/store/database/lotListFaults.ts";
import { record } from "#api/store/database/record.ts";
import { fileFaults, inSnapshot } from "#api/store/database/snapshot.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { damageOf } from "#api/store/ledger/entries.ts";
import { changeRow, type EntryChange, entryRow, setCounter } from "#api/store/ledger/eventWriter.ts";
import { eventRow, lockRecord, ownDoing } from "#api/store/ledger/ledger.ts";
import { Replay } from "#api/store/ledger/replay.ts";
import { misnamedBytes, renameBytes } from "./mendBytes.ts";

/** What mending does to the entries: those set right from the record, and those that the record is told of. */
interface Mending {
  readonly replay: Replay;
  readonly right: readonly Tables["entries"][];
  /** Entries with a valid checksum that are not as the record says: they are kept, and written into the record. */
  readonly taken: readonly EntryChange[];
  /** What matches no checksum and the record does not know, such as what is left of an entry whose number was damaged. */
  readonly stray: readonly Pick<Tables["entries"], "kind" | "id">[];
}

/** What mending would do, as sentences; empty where nothing is to be done. @throws Error  as mend */
export function mendPlan(db: Kysely<Tables>): Promise<string[]> {
  const lost = lossOf(db);
  const isFile = db instanceof FileDatabase;
  return inSnapshot(db, async (snapshot) => {
    const damaged = await fileFaults(snapshot, isFile);
    const { right, taken, stray } = await mendingOf(snapshot);
    return [
      ...(lost === null ? [] : [`take the change history as it is: ${lost}`]),
      ...(damaged.length === 0 ? [] : ["build the indexes anew"]),
      ...right.map(({ kind, id }) => `write ${kind} ${id} as the change history has it`),
      ...taken.map(
        ({ kind, id }) =>
          `keep ${kind} ${id} and write it into the change history, which does not have it so`,
      ),
      ...stray.map(
        ({ kind, id }) =>
          `take away ${kind} ${id}: it matches no checksum, and the change history knows none`,
      ),
      ...(await misnamedBytes(snapshot)).map((hash) => `keep the bytes named ${hash} under their own hash`),
      ...((await listFaults(snapshot)).length === 0 ? [] : ["write the list of lots anew"]),
    ];
  });
}

/**
 * Sets right what does not follow from the record. Nothing whose checksum holds is deleted: what the record does not
 * know is written into it.
 *
 * @returns  how many entries were set right or taken up
 * @throws Error  the record itself has a fault: then a backup is needed
 */
export async function mend(db: Kysely<Tables>, clock: () => Date): Promise<number> {
  acceptLoss(db);
  return db.transaction().execute(async (tx) => {
    const last = await lockRecord(tx);
    if (db instanceof FileDatabase && (await fileFaults(tx, true)).length > 0) await sql`reindex`.execute(tx);
    const { replay, right, taken, stray } = await mendingOf(tx);
    await takeAway(tx, stray);
    for (const row of right) await putRow(tx, row);
    const renamed = await renameBytes(tx);
    await linkAll(tx);
    const seq = replay.events + 1;
    if (taken.length > 0)
      await takeUp(tx, eventRow(seq, clock().toISOString(), takenUp(taken), ownDoing, null), taken);
    await setCounter(tx, "event", taken.length > 0 ? seq : replay.events);
    await raiseCounters(tx, replay, taken);
    for (const [of, standing] of replay.standings)
      await tx
        .updateTable("events")
        .set({ standing })
        .where("seq", "=", of)
        .where("standing", "<>", standing)
        .execute();
    if (
      last !== replay.events ||
      right.length + taken.length + stray.length > 0 ||
      (await listFaults(tx)).length > 0
    ) {
      await tx.deleteFrom("lot_list").execute();
      await tx.deleteFrom("lot_stages").execute();
      await tx
        .updateTable("ground_marks")
        .set({ touched: taken.length > 0 ? seq : replay.events })
        .execute();
      await listLots(tx, null);
    }
    return right.length + taken.length + stray.length + renamed;
  });
}

async function mendingOf(db: Kysely<Tables>): Promise<Mending> {
  const replay = new Replay("bodies");
  for await (const { event, changes } of record(db)) replay.take(event, changes);
  if (replay.faults[0] !== undefined)
    throw new Error(
      `The record itself has a fault, so nothing was changed: ${replay.faults[0]} Restore a backup.`,
    );
  const rows = await db.selectFrom("entries").selectAll().execute();
  const now = new Map(rows.map((row) => [`${row.kind} ${row.id}`, row]));
  const right: Tables["entries"][] = [];
  for (const [key, { kind, id, body, version }] of replay.entries) {
    const wanted = entryRow(kind, id, body, version);
    const row = now.get(key);
    const isOther = row !== undefined && row.body !== body && damageOf(kind, row) === null;
    if (!isOther && (row === undefined || !isSame(row, wanted))) right.push(wanted);
  }
  const taken = rows.flatMap((row): EntryChange[] => {
    const kind = kindNames.find((name) => name === row.kind);
    const before = replay.entries.get(`${row.kind} ${row.id}`)?.body ?? null;
    if (kind === undefined || damageOf(kind, row) !== null || row.body === before) return [];
    return [{ kind, id: row.id, before, after: row.body }];
  });
  const stray = rows.filter((row) => {
    const kind = kindNames.find((name) => name === row.kind);
    const isKnown = replay.entries.has(`${row.kind} ${row.id}`);
    return kind === undefined || (!isKnown && damageOf(kind, row) !== null);
  });
  return { replay, right, taken, stray };
}

function isSame(row: Tables["entries"], wanted: Tables["entries"]): boolean {
  return (["parent", "part", "day", "words", "body", "checksum", "version"] as const).every(
    (column) => row[column] === wanted[column],
  );
}

async function takeAway(tx: Transaction<Tables>, stray: Mending["stray"]): Promise<void> {
  if (stray.length === 0) return;
  // A kind that is no text any more, or a number that is none, is matched by nothing but what it is not.
  await tx.deleteFrom("entries").where("kind", "not in", kindNames).execute();
  await tx.deleteFrom("entries").where("id", "is", sql<number>`null`).execute();
  for (const { kind, id } of stray)
    await tx.deleteFrom("entries").where("kind", "=", kind).where("id", "=", id).execute();
}

async function putRow(tx: Transaction<Tables>, row: Tables["entries"]): Promise<void> {
  await tx.deleteFrom("entries").where("kind", "=", row.kind).where("id", "=", row.id).execute();
  await tx.insertInto("entries").values(row).execute();
}

function takenUp(taken: readonly EntryChange[]): string {
  const what = taken.length === 1 ? "one entry" : `${taken.length} entries`;
  return `wrote ${what} into the change history that it did not have so`;
}

async function takeUp(
  tx: Transaction<Tables>,
  event: Tables["events"],
  taken: readonly EntryChange[],
): Promise<void> {
  await tx.insertInto("events").values(event).execute();
  const changes = taken.map((step, position) => changeRow(event.seq, position, step));
  for (const change of changes) await tx.insertInto("changes").values(change).execute();
  for (const { kind, id, after } of taken)
    if (after !== null) await putRow(tx, entryRow(kind, id, after, event.seq));
  await addLink(
    tx,
    event,
    changes.map(({ checksum }) => checksum),
  );
}

async function raiseCounters(
  tx: Transaction<Tables>,
  { highest }: Replay,
  taken: readonly EntryChange[],
): Promise<void> {
  const rows = await tx.selectFrom("counters").selectAll().execute();
  const counted = new Map(rows.map(({ name, value }) => [name, value]));
  const wanted = new Map(highest);
  for (const { kind, id } of taken) wanted.set(kind, Math.max(wanted.get(kind) ?? 0, id));
  for (const [kind, least] of wanted) if ((counted.get(kind) ?? 0) < least) await setCounter(tx, kind, least);
}
