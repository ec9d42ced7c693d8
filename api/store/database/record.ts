import { createHash } from "node:crypto";
import { setImmediate } from "node:timers/promises";
import type { Kysely } from "kysely";
import type { Signature } from "#api/records/signature.ts";
import { allBytes } from "./bytesKept.ts";
import type { Tables } from "./tables.ts";

type EventRow = Tables["events"];
type ChangeRow = Tables["changes"];

/** What the last line of a backup says of all before it. */
export interface LastLine {
  readonly events: number;
  readonly sha256: string;
}

const eventsAtOnce = 100;

/** Every event with its changes, in order, some at a time; between them others get their turn. */
export async function* record(db: Kysely<Tables>): AsyncGenerator<{ event: EventRow; changes: ChangeRow[] }> {
  for (let from = 0; ; ) {
    const events = await db
      .selectFrom("events")
      .selectAll()
      .where("seq", ">", from)
      .orderBy("seq")
      .limit(eventsAtOnce)
      .execute();
    const [first, last] = [events[0], events.at(-1)];
    if (first === undefined || last === undefined) return;
    const changes = await db
      .selectFrom("changes")
      .selectAll()
      .where("seq", ">=", first.seq)
      .where("seq", "<=", last.seq)
      .orderBy("seq")
      .orderBy("position")
      .execute();
    let next = 0;
    for (const event of events) {
      const start = next;
      while (changes[next]?.seq === event.seq) next++;
      yield { event, changes: changes.slice(start, next) };
    }
    from = last.seq;
    await setImmediate();
  }
}

/**
 * The whole record with its trail, a line an event: the same from both databases, so that a lab can move from one
 * to the other; then the bytes that events name, once each. The last line counts the events and holds the SHA-256 of all before it and, where
 * something signs it, a signature of both.
 */
export async function* backupLines(
  db: Kysely<Tables>,
  sign: ((last: LastLine) => Signature) | null = null,
): AsyncGenerator<string> {
  const hash = createHash("sha256");
  let events = 0;
  const line = (value: unknown) => {
    const text = `${JSON.stringify(value)}\n`;
    hash.update(text);
    return text;
  };
  yield line({ fineband: "backup", version: 1 });
  for await (const { event, changes } of record(db)) {
    events++;
    yield line({ event: { ...event }, changes: changes.map((change) => ({ ...change })) });
  }
  for await (const bytes of allBytes(db)) yield line({ bytes: { ...bytes } });
  const last = { events, sha256: hash.digest("hex") };
  const signed = sign === null ? {} : { signature: sign(last) };
  yield `${JSON.stringify({ ...last, ...signed })}\n`;
}
