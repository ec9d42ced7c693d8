import type { Kysely } from "kysely";
import { checksumOf } from "#api/records/checksum.ts";
import { isKind } from "#api/records/kinds.ts";
import type { ChangeEvent, ChangeOfEntry } from "#api/records/records.ts";
import { parsed } from "#api/records/stored.ts";
import { linkAt, linkOf } from "#api/store/database/chain.ts";
import { StoreFault } from "#api/store/database/storeFault.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { changeRow } from "./eventWriter.ts";

// The change history as it is read: what happened, what each event changed, and where of that something is damaged.

/** Events from the latest back, those before `before`. */
export async function eventsBefore(
  db: Kysely<Tables>,
  before: number | null,
  limit: number,
): Promise<ChangeEvent[]> {
  let query = db.selectFrom("events").selectAll().orderBy("seq", "desc").limit(limit);
  if (before !== null) query = query.where("seq", "<", before);
  return withGaps((await query.execute()).map(trailEvent), limit);
}

/** Events are numbered without gaps, down to the first: where one is missing, that is said in its place. */
function withGaps(events: readonly ChangeEvent[], limit: number): ChangeEvent[] {
  const isFirstShown = events.length < limit;
  return events
    .flatMap((event, i) => {
      const next = events[i + 1]?.seq ?? (isFirstShown ? 0 : event.seq - 1);
      // A damaged number may stand far above the others: no more is said than is shown.
      const missing = Math.min(limit, Math.max(0, event.seq - next - 1));
      const gone = Array.from({ length: missing }, (_, k) => event.seq - 1 - k);
      return [event, ...gone.map(goneEvent)];
    })
    .slice(0, limit);
}

function goneEvent(seq: number): ChangeEvent {
  const what = `event ${seq} is missing and cannot be read`;
  return { seq, at: "", kind: "change", what, by: "", why: "", of: null, standing: "passed" };
}

/** What one event changed. @throws StoreFault  as changesOf */
export async function shownChanges(db: Kysely<Tables>, seq: number): Promise<ChangeOfEntry[]> {
  const read = (text: string | null): unknown => (text === null ? null : parsed(text));
  return (await changesOf(db, seq)).map((c) => ({
    kind: c.kind,
    id: c.id,
    before: read(c.before),
    after: read(c.after),
  }));
}

/** @throws StoreFault  the chain does not fit what stands of an event: a step of it is missing, or one was put in */
async function refuseBroken(
  db: Kysely<Tables>,
  { seq, link }: Tables["links"],
  checksums: readonly string[],
): Promise<void> {
  const event = await db.selectFrom("events").selectAll().where("seq", "=", seq).executeTakeFirst();
  if (event === undefined || linkOf(await linkAt(db, seq - 1), event, checksums) !== link)
    throw new StoreFault(
      `What event ${seq} changed is not what was written of it: the chain of events does not fit. "fineband verify" names what is damaged.`,
      500,
    );
}

/** The steps of one event. @throws StoreFault  one does not match its checksum, is missing, or was put in */
export async function changesOf(db: Kysely<Tables>, seq: number) {
  // Before the steps: where it stands, they do, whoever writes meanwhile.
  const link = await linkAt(db, seq);
  const rows = await db
    .selectFrom("changes")
    .selectAll()
    .where("seq", "=", seq)
    .orderBy("position")
    .execute();
  if (link !== "")
    await refuseBroken(
      db,
      { seq, link },
      rows.map(({ checksum }) => checksum),
    );
  return rows.map(({ position, kind, id, before, after, checksum }) => {
    if (!isKind(kind)) throw new StoreFault(`Change ${position} of event ${seq} is damaged.`, 500);
    const change = { kind, id, before, after };
    if (changeRow(seq, position, change).checksum !== checksum)
      throw new StoreFault(`Change ${position} of event ${seq} does not match its checksum.`, 500);
    return change;
  });
}

/** An event as it is shown. One that is damaged says so in its own words. */
export function trailEvent(row: Tables["events"]): ChangeEvent {
  const isDamaged = eventChecksum(row) !== row.checksum || !standings.includes(row.standing);
  return {
    seq: row.seq,
    at: row.at,
    kind: row.kind,
    what: isDamaged ? `event ${row.seq} does not match its checksum; it reads: ${row.what}` : row.what,
    by: row.person,
    why: row.why,
    of: row.of_seq,
    standing: row.standing,
  };
}

const standings: readonly string[] = ["done", "undone", "passed"] satisfies ChangeEvent["standing"][];

export function eventChecksum(
  e: Pick<Tables["events"], "seq" | "at" | "kind" | "what" | "person" | "why" | "of_seq">,
): string {
  return checksumOf(e.seq, e.at, e.kind, e.what, e.person, e.why, e.of_seq);
}
