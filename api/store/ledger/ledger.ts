import { type Kysely, Transaction } from "kysely";
import { KeyTaken, MadeAndDeleted } from "#api/records/faults.ts";
import type { EntryKind } from "#api/records/kinds.ts";
import type { ChangeEvent } from "#api/records/records.ts";
import { addLink } from "#api/store/database/chain.ts";
import { lossOf } from "#api/store/database/fileDatabase.ts";
import { StoreFault } from "#api/store/database/storeFault.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { versionOf } from "./entries.ts";
import { EventWriter, plain, setCounter } from "./eventWriter.ts";
import { withMaterials } from "./materials.ts";
import { changesOf, eventChecksum } from "./trail.ts";

/** Who does something, why, and under which request. */
export interface ChangeContext {
  /** A start cannot be undone. */
  readonly kind: ChangeEvent["kind"];
  readonly by: string;
  readonly why: string;
  /** The key a request came with and the hash of the request: a repeat makes no duplicate. */
  readonly request: { readonly key: string; readonly hash: string } | null;
}

/** The server's own doing, such as filling an empty store. */
export const ownDoing: ChangeContext = { kind: "start", by: "Fineband", why: "", request: null };

/** An event that was written, or found written already under the request's key; seq is null when nothing changed. */
export interface Written {
  readonly seq: number | null;
  readonly made: readonly { readonly kind: EntryKind; readonly id: number }[];
}

/** The number of the one entry that was made. */
export function idOf(written: Written): number {
  const [entry] = written.made;
  if (entry === undefined) throw new Error("The event made no entry.");
  return entry.id;
}

/** What an event is called in the trail, and for undo and redo the change meant. */
export interface EventAnswer {
  readonly what: string;
  readonly of?: number;
}

/**
 * Appends one event: all that `work` writes, or nothing of it.
 *
 * @throws Conflict, DamagedEntry, KeyTaken, MadeAndDeleted
 */
export async function append(
  db: Kysely<Tables>,
  clock: () => Date,
  occasion: ChangeContext,
  work: (writer: EventWriter) => Promise<EventAnswer>,
): Promise<Written> {
  refuseAfterLoss(db);
  return inTransaction(db, async (tx) => {
    const seq = (await lockRecord(tx)) + 1;
    const earlier = await writtenUnder(tx, occasion);
    if (earlier !== null) return earlier;
    const writer = new EventWriter(tx, seq);
    const { what, of = null } = await work(writer);
    await withMaterials(writer);
    if (writer.steps.length === 0) return { seq: null, made: [] };
    if (occasion.kind === "change")
      await tx.updateTable("events").set({ standing: "passed" }).where("standing", "=", "undone").execute();
    const event = eventRow(seq, clock().toISOString(), what, occasion, of);
    await tx.insertInto("events").values(event).execute();
    await addLink(tx, event, await writer.finish());
    await setCounter(tx, "event", seq);
    return { seq, made: madeBy(writer.steps) };
  });
}

/** Within the transaction that is open already, where there is one: then its end decides for all that was done in it. */
function inTransaction<T>(db: Kysely<Tables>, work: (tx: Transaction<Tables>) => Promise<T>): Promise<T> {
  return db instanceof Transaction ? work(db) : db.transaction().execute(work);
}

/**
 * Writes what a record begins with, all of it or nothing, where nothing was ever written. Of several at once one does.
 *
 * @returns  whether it was done here
 */
export async function begin(
  db: Kysely<Tables>,
  work: (tx: Transaction<Tables>) => Promise<unknown>,
): Promise<boolean> {
  refuseAfterLoss(db);
  return db.transaction().execute(async (tx) => {
    if ((await lockRecord(tx)) > 0) return false;
    await work(tx);
    return true;
  });
}

/** Begins a record with nothing but the word that it was begun: from then on it counts as used. */
export function beginEmpty(db: Kysely<Tables>, clock: () => Date): Promise<boolean> {
  return begin(db, async (tx) => {
    const row = eventRow(1, clock().toISOString(), "started this lab", ownDoing, null);
    await tx.insertInto("events").values(row).execute();
    await addLink(tx, row, []);
    await setCounter(tx, "event", row.seq);
  });
}

/**
 * Takes the record for writing, so that events are numbered without gaps.
 *
 * @returns  the last event's number: the counter's, or that of the record where a damaged counter says less
 */
export async function lockRecord(tx: Transaction<Tables>): Promise<number> {
  await tx
    .updateTable("counters")
    .set((eb) => ({ value: eb.ref("value") }))
    .where("name", "=", "event")
    .execute();
  return lastEvent(tx);
}

export async function lastEvent(db: Kysely<Tables>): Promise<number> {
  const counter = await db
    .selectFrom("counters")
    .select("value")
    .where("name", "=", "event")
    .executeTakeFirst();
  const last = await db.selectFrom("events").select("seq").orderBy("seq", "desc").limit(1).executeTakeFirst();
  return Math.max(counter?.value ?? 0, last?.seq ?? 0);
}

/** @throws StoreFault  changes that had been saved are lost: nothing is written over the gap before somebody said so */
function refuseAfterLoss(db: Kysely<Tables>): void {
  const lost = lossOf(db);
  if (lost !== null)
    throw new StoreFault(
      `${lost} Nothing is saved over the gap. Restore a backup, or take what is left as it is with "fineband verify --mend"; docs/recovery.md says which.`,
      503,
    );
}

async function writtenUnder(tx: Transaction<Tables>, occasion: ChangeContext): Promise<Written | null> {
  if (occasion.request === null) return null;
  const { key, hash } = occasion.request;
  const event = await tx
    .selectFrom("events")
    .select(["seq", "request_hash"])
    .where("request_key", "=", key)
    .executeTakeFirst();
  if (event === undefined) return null;
  if (event.request_hash !== hash) throw new KeyTaken(key);
  const made = madeBy(await changesOf(tx, event.seq));
  for (const { kind, id } of made)
    if ((await versionOf(tx, kind, id)) === null) throw new MadeAndDeleted(kind, id);
  return { seq: event.seq, made };
}

function madeBy(steps: readonly { kind: EntryKind; id: number; before: string | null }[]): Written["made"] {
  return steps.filter((s) => s.before === null).map(({ kind, id }) => ({ kind, id }));
}

/** An event as it is written into the record. */
export function eventRow(
  seq: number,
  at: string,
  what: string,
  occasion: ChangeContext,
  ofSeq: number | null,
): Tables["events"] {
  const entered = {
    seq,
    at,
    kind: occasion.kind,
    what: plain(what),
    person: plain(occasion.by),
    why: plain(occasion.why),
    of_seq: ofSeq,
  };
  return {
    ...entered,
    standing: "done",
    request_key: occasion.request?.key ?? null,
    request_hash: occasion.request?.hash ?? null,
    checksum: eventChecksum(entered),
  };
}
