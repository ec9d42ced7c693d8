import type { Transaction } from "kysely";
import { checksumOf } from "#api/records/checksum.ts";
import { Conflict, DamagedEntry, NoSuchEntry } from "#api/records/faults.ts";
import { type Bodies, type EntryKind, kinds, partsOf } from "#api/records/kinds.ts";
import { bodyIn, textOf } from "#api/records/stored.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { damageOf, entryChecksum, parentIn, readEntries } from "./entries.ts";
import type { EntryRow } from "./heldToRecord.ts";
import { markLots } from "./lotMarks.ts";

/** One entry's step: null before means made, null after means deleted. */
export interface EntryChange {
  readonly kind: EntryKind;
  readonly id: number;
  readonly before: string | null;
  readonly after: string | null;
}

const rowsAtOnce = 500;

/** Writes the changes of one event. Each entry may be written once in an event. */
export class EventWriter {
  readonly steps: EntryChange[] = [];
  readonly tx: Transaction<Tables>;
  readonly seq: number;
  readonly #counters = new Map<string, number>();

  constructor(tx: Transaction<Tables>, seq: number) {
    this.tx = tx;
    this.seq = seq;
  }

  /** A new entry under the next number of its kind. */
  async make<K extends EntryKind>(kind: K, body: Bodies[K]): Promise<number> {
    const id = await this.nextId(kind);
    await this.put(kind, id, null, textOf(kind, body));
    return id;
  }

  /** The number that the next new entry of a kind will have. */
  async nextId(kind: EntryKind): Promise<number> {
    return (await this.#lastOf(kind)) + 1;
  }

  /**
   * Changes an entry, given what it becomes from what it is.
   *
   * @param expected  the version the change was made against; null when any will do
   * @returns         what it was
   * @throws NoSuchEntry, Conflict, DamagedEntry
   */
  async change<K extends EntryKind>(
    kind: K,
    id: number,
    expected: number | null,
    become: (now: Bodies[K]) => Bodies[K],
  ): Promise<Bodies[K]> {
    const { text, body } = await this.#found(kind, id, expected);
    await this.put(kind, id, text, textOf(kind, become(body)));
    return body;
  }

  /**
   * Deletes an entry and what belongs to it.
   *
   * @returns  what it was
   * @throws NoSuchEntry, Conflict, DamagedEntry
   */
  async remove<K extends EntryKind>(kind: K, id: number, expected: number | null): Promise<Bodies[K]> {
    const { text, body } = await this.#found(kind, id, expected);
    for (const part of partsOf(kind))
      for (const row of await this.#rows(part, "parent", id)) await this.put(part, row.id, row.body, null);
    await this.put(kind, id, text, null);
    return body;
  }

  /** An entry as it stands. @param expected  as for change @throws NoSuchEntry, Conflict, DamagedEntry */
  async read<K extends EntryKind>(kind: K, id: number, expected: number | null = null): Promise<Bodies[K]> {
    return (await this.#found(kind, id, expected)).body;
  }

  /** Notes one step. What does not change anything is not noted. */
  async put(kind: EntryKind, id: number, before: string | null, after: string | null): Promise<void> {
    if (before === after) return;
    this.steps.push({ kind, id, before, after });
    this.#counters.set(kind, Math.max(await this.#lastOf(kind), id));
  }

  /**
   * Writes all steps down: the changes, what follows from them, and the highest numbers given out.
   *
   * @returns  the checksums of the changes, in order
   */
  async finish(): Promise<readonly string[]> {
    const checksums: string[] = [];
    for (let from = 0; from < this.steps.length; from += rowsAtOnce)
      checksums.push(...(await this.#write(this.steps.slice(from, from + rowsAtOnce), from)));
    await markLots(this.tx, this.seq, this.steps);
    for (const [name, value] of this.#counters) await setCounter(this.tx, name, value);
    return checksums;
  }

  async #write(steps: readonly EntryChange[], from: number): Promise<readonly string[]> {
    const changes = steps.map((step, i) => changeRow(this.seq, from + i, step));
    await this.tx.insertInto("changes").values(changes).execute();
    for (const { kind, id } of steps.filter((s) => s.after === null))
      await this.tx.deleteFrom("entries").where("kind", "=", kind).where("id", "=", id).execute();
    // What is made is made anew: a number that is taken already is refused by the database, never written over.
    const made = steps.filter(({ before }) => before === null).flatMap((step) => this.#rowOf(step));
    const changed = steps.filter(({ before }) => before !== null).flatMap((step) => this.#rowOf(step));
    if (made.length > 0) await this.tx.insertInto("entries").values(made).execute();
    for (const { kind, id, ...row } of changed) {
      const { numUpdatedRows } = await this.tx
        .updateTable("entries")
        .set(row)
        .where("kind", "=", kind)
        .where("id", "=", id)
        .executeTakeFirst();
      if (numUpdatedRows !== 1n) throw new Error(`${kind} ${id} was to be changed, and it is not there.`);
    }
    return changes.map(({ checksum }) => checksum);
  }

  #rowOf({ kind, id, after }: EntryChange): Tables["entries"][] {
    return after === null ? [] : [entryRow(kind, id, after, this.seq)];
  }

  async #found<K extends EntryKind>(kind: K, id: number, expected: number | null) {
    const rows = await this.#rows(kind, "id", id);
    const [now] = readEntries(kind, rows).kept;
    const text = rows[0]?.body;
    if (now === undefined || text === undefined) {
      if (expected !== null && id <= (await this.#lastOf(kind))) throw new Conflict(kind, id, null);
      throw new NoSuchEntry(kind, id);
    }
    if (expected !== null && now.version !== expected)
      throw new Conflict(kind, id, { version: now.version, body: now.body });
    return { text, body: now.body };
  }

  /** @throws DamagedEntry  what is damaged is set right first, never written over */
  async #rows(kind: EntryKind, by: "id" | "parent", value: number): Promise<EntryRow[]> {
    const rows = await this.tx
      .selectFrom("entries")
      .select(["id", "body", "checksum", "version"])
      .where("kind", "=", kind)
      .where(by, "=", value)
      .orderBy("id")
      .execute();
    for (const row of rows) {
      const damage = damageOf(kind, row);
      if (damage !== null) throw new DamagedEntry(damage);
    }
    return rows;
  }

  async #lastOf(kind: EntryKind): Promise<number> {
    const known = this.#counters.get(kind);
    if (known !== undefined) return known;
    const last = await lastGiven(this.tx, kind);
    this.#counters.set(kind, last);
    return last;
  }
}

/**
 * The highest number of a kind that was ever given out: the counter's, or what the record or an entry has where that is
 * more, since a counter may be damaged. None is given out twice.
 */
async function lastGiven(tx: Transaction<Tables>, kind: EntryKind): Promise<number> {
  const counter = await tx.selectFrom("counters").select("value").where("name", "=", kind).executeTakeFirst();
  const highest = (table: "changes" | "entries") =>
    tx
      .selectFrom(table)
      .select("id")
      .where("kind", "=", kind)
      .orderBy("id", "desc")
      .limit(1)
      .executeTakeFirst();
  const found = [counter?.value, (await highest("changes"))?.id, (await highest("entries"))?.id];
  return Math.max(0, ...found.filter((value) => value !== undefined));
}

/** A step as it is written into the record. */
export function changeRow(seq: number, position: number, step: EntryChange): Tables["changes"] {
  const { kind, id, before, after } = step;
  return {
    seq,
    position,
    kind,
    id,
    before,
    after,
    checksum: checksumOf(seq, position, kind, id, before, after),
  };
}

/** An entry as it is written down, with what it is searched and counted by. */
export function entryRow<K extends EntryKind>(
  kind: K,
  id: number,
  text: string,
  version: number,
): Tables["entries"] {
  const { parent, part, day, words } = kinds[kind];
  const body = bodyIn(kind, text);
  return {
    kind,
    id,
    parent: parentIn(body, parent),
    part: plain(part(body)),
    words: plain(words(body)),
    body: text,
    checksum: entryChecksum(kind, id, text),
    version,
    day: plain(day(body)),
  };
}

/** PostgreSQL keeps no zero character in a text. */
export function plain(text: string): string {
  return text.replaceAll("\u0000", "");
}

export async function setCounter(tx: Transaction<Tables>, name: string, value: number): Promise<void> {
  await tx
    .insertInto("counters")
    .values({ name, value })
    .onConflict((conflict) => conflict.column("name").doUpdateSet({ value }))
    .execute();
}
