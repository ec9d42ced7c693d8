import { setImmediate } from "node:timers/promises";
import type { Kysely } from "kysely";
import { checksumOf } from "#api/records/checksum.ts";
import { DamagedEntry } from "#api/records/faults.ts";
import { type EntryKind, kinds } from "#api/records/kinds.ts";
import type { Damaged, Saved } from "#api/records/records.ts";
import { bodyIn } from "#api/records/stored.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { type EntryRow, heldRows, missingIds } from "./heldToRecord.ts";

/** Entries that could be read, and those that could not. */
export interface ReadEntries<K extends EntryKind> {
  readonly kept: readonly Saved<K>[];
  readonly damaged: readonly Damaged[];
}

export function entryChecksum(kind: EntryKind, id: number, body: string): string {
  return checksumOf(kind, id, body);
}

/** Why a row is damaged; null when its checksum holds. */
export function damageOf(kind: EntryKind, row: EntryRow): Damaged | null {
  return entryChecksum(kind, row.id, row.body) === row.checksum
    ? null
    : damaged(kind, row.id, "does not match its checksum");
}

/** Rows of one kind as entries; each is held against its checksum. */
export function readEntries<K extends EntryKind>(kind: K, rows: readonly EntryRow[]): ReadEntries<K> {
  const kept: Saved<K>[] = [];
  const bad: Damaged[] = [];
  for (const row of rows) {
    const damage = damageOf(kind, row);
    if (damage !== null) bad.push(damage);
    else if (row.touched !== undefined && row.touched !== row.version)
      bad.push(damaged(kind, row.id, "has another version than the change history says, so it is not shown"));
    else
      try {
        kept.push({ id: row.id, version: row.version, body: bodyIn(kind, row.body) });
      } catch {
        bad.push(damaged(kind, row.id, "cannot be read"));
      }
  }
  return { kept, damaged: bad };
}

const rowsAtOnce = 100;

/** All rows of a kind in the order they were made, some at a time; between them others get their turn. */
export async function* rowsOf(db: Kysely<Tables>, kind: EntryKind): AsyncGenerator<Tables["entries"][]> {
  for (let after = 0; ; ) {
    const rows = await db
      .selectFrom("entries")
      .selectAll()
      .where("kind", "=", kind)
      .where("id", ">", after)
      .orderBy("id")
      .limit(rowsAtOnce)
      .execute();
    const last = rows.at(-1);
    if (last === undefined) return;
    yield rows;
    after = last.id;
    await setImmediate();
  }
}

/** Entries of one kind in the order they were made, all or those of one parent or several, or of a part of them. */
export async function entriesOf<K extends EntryKind>(
  db: Kysely<Tables>,
  kind: K,
  parent: number | readonly number[] | null = null,
  part: string | null = null,
): Promise<ReadEntries<K>> {
  if (Array.isArray(parent) && parent.length === 0) return { kept: [], damaged: [] };
  if (parent === null && part === null) {
    const read = readEntries(kind, await heldRows(db, kind, null));
    return withMissing(kind, read, await missingIds(db, kind, null));
  }
  const parents = parent === null ? null : [parent].flat();
  const rows = await heldRows(db, kind, parents === null ? null : { by: "parent", values: parents, part });
  const read = readEntries(kind, rows);
  return parents === null ? read : ofParent(kind, read, parents);
}

/** With those that the change history has and that are not here. */
function withMissing<K extends EntryKind>(
  kind: K,
  { kept, damaged: bad }: ReadEntries<K>,
  missing: readonly number[],
): ReadEntries<K> {
  return {
    kept,
    damaged: [...bad, ...missing.map((id) => damaged(kind, id, "is missing and cannot be read"))],
  };
}

/** Entries of one kind under each of these parents, in the order they were made. */
export async function entriesByParent<K extends EntryKind>(
  db: Kysely<Tables>,
  kind: K,
  parents: readonly number[],
): Promise<ReadonlyMap<number, ReadEntries<K>>> {
  if (parents.length === 0) return new Map();
  const inOrder = await heldRows(db, kind, { by: "parent", values: parents });
  const ownOf = (parent: number) =>
    readEntries(
      kind,
      inOrder.filter((row) => row.parent === parent),
    );
  return new Map(parents.map((parent) => [parent, ofParent(kind, ownOf(parent), [parent])]));
}

/** What is found among the parts of an entry and says itself that it belongs to another is damaged. */
function ofParent<K extends EntryKind>(
  kind: K,
  { kept, damaged: bad }: ReadEntries<K>,
  parents: readonly number[],
): ReadEntries<K> {
  const known = new Set(parents);
  const isOf = ({ body }: Saved<K>) => {
    const parent = parentIn(body, kinds[kind].parent);
    return parent !== null && known.has(parent);
  };
  const strange = kept.filter((one) => !isOf(one));
  return {
    kept: kept.filter(isOf),
    damaged: [...bad, ...strange.map(({ id }) => damaged(kind, id, "stands where another does"))],
  };
}

/** The number of the entry that a body belongs to. */
export function parentIn(body: object, field: string | null): number | null {
  const [, id] = Object.entries(body).find(([name]) => name === field) ?? [];
  return typeof id === "number" ? id : null;
}

/** What was read, where all of it could be. @throws DamagedEntry  a number that rests on the rest alone would be a wrong one */
export function soundIn<K extends EntryKind>({ kept, damaged: bad }: ReadEntries<K>): readonly Saved<K>[] {
  if (bad[0] !== undefined) throw new DamagedEntry(bad[0]);
  return kept;
}

/** These entries of one kind, in the order they were made; those that are not there are left out. */
export async function entriesById<K extends EntryKind>(
  db: Kysely<Tables>,
  kind: K,
  ids: readonly number[],
): Promise<ReadEntries<K>> {
  if (ids.length === 0) return { kept: [], damaged: [] };
  const rows = await heldRows(db, kind, { by: "id", values: ids });
  const here = new Set(rows.map(({ id }) => id));
  const missing = await missingIds(
    db,
    kind,
    ids.filter((id) => !here.has(id)),
  );
  return withMissing(kind, readEntries(kind, rows), missing);
}

/** One entry; null when there is none. @throws DamagedEntry */
export async function entryOf<K extends EntryKind>(
  db: Kysely<Tables>,
  kind: K,
  id: number,
): Promise<Saved<K> | null> {
  const { kept, damaged: bad } = await entriesById(db, kind, [id]);
  if (bad[0] !== undefined) throw new DamagedEntry(bad[0]);
  return kept[0] ?? null;
}

/** Entries as the page and the sheet take them: what was kept, with its id and version beside it. */
export function withIds<K extends EntryKind>(kept: readonly Saved<K>[]) {
  return kept.map(({ id, version, body }) => ({ id, version, ...body }));
}

/** The event that last touched an entry; null when there is none. */
export async function versionOf(db: Kysely<Tables>, kind: EntryKind, id: number): Promise<number | null> {
  const row = await db
    .selectFrom("entries")
    .select("version")
    .where("kind", "=", kind)
    .where("id", "=", id)
    .executeTakeFirst();
  return row?.version ?? null;
}

function damaged(kind: EntryKind, id: number, how: string): Damaged {
  return {
    kind,
    id,
    message: `${kind} ${id} ${how}, so it is not shown. "fineband verify --mend" repairs it from the change history.`,
  };
}
