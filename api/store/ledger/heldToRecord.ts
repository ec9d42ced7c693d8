import { type Kysely, sql } from "kysely";
import type { EntryKind } from "#api/records/kinds.ts";
import { isDamage } from "#api/store/database/storeFault.ts";
import type { Tables } from "#api/store/database/tables.ts";

/** The columns an entry is read from. */
export interface EntryRow {
  readonly id: number;
  readonly body: string;
  readonly checksum: string;
  readonly version: number;
  /** The event that touched it last by the change history, where it was asked: the version must be that. */
  readonly touched?: number | null;
}

const columns = ["id", "body", "checksum", "version", "parent"] as const;

/**
 * Entries of a kind as they are read, each with the event that touched it last by the change history. One question, so
 * that nobody writes in between. Where the history itself cannot be read, the entries alone.
 */
export async function heldRows(
  db: Kysely<Tables>,
  kind: EntryKind,
  where: {
    readonly by: "id" | "parent";
    readonly values: readonly number[];
    readonly part?: string | null;
  } | null,
): Promise<(EntryRow & { readonly parent: number | null })[]> {
  let query = db.selectFrom("entries").select(columns).where("kind", "=", kind);
  if (where !== null) {
    const [only] = where.values;
    query =
      where.values.length === 1 && only !== undefined
        ? query.where(where.by, "=", only)
        : query.where(where.by, "in", [...where.values]);
    if (typeof where.part === "string") query = query.where("part", "=", where.part);
  }
  // Of several parents SQLite would rather go through all of the kind in their order than look for each and sort.
  if (where === null || where.by === "id" || where.values.length === 1) query = query.orderBy("id");
  const rows = await query
    .select((eb) =>
      eb
        .selectFrom("changes")
        .select((inner) => inner.fn.max("changes.seq").as("touched"))
        .whereRef("changes.kind", "=", "entries.kind")
        .whereRef("changes.id", "=", "entries.id")
        .as("touched"),
    )
    .execute()
    .catch((fault: unknown) => {
      if (!isDamage(fault)) throw fault;
      return query.execute();
    });
  return rows.toSorted((a, b) => a.id - b.id);
}

/**
 * Which entries of a kind the change history has and the store does not: those of these numbers, or all. One question, so
 * that nobody writes in between.
 */
export async function missingIds(
  db: Kysely<Tables>,
  kind: EntryKind,
  ids: readonly number[] | null,
): Promise<readonly number[]> {
  if (ids?.length === 0) return [];
  const these = ids === null ? sql`` : sql`and c.id in (${sql.join([...ids])})`;
  try {
    const { rows } = await sql<{ id: number }>`select c.id from changes c where c.kind = ${kind} ${these}
      and not exists (select 1 from entries e where e.kind = c.kind and e.id = c.id) and c.after is not null
      and not exists (select 1 from changes d where d.kind = c.kind and d.id = c.id and d.seq > c.seq)
      order by c.id`.execute(db);
    return rows.map(({ id }) => id);
  } catch (fault) {
    if (isDamage(fault)) return [];
    throw fault;
  }
}
