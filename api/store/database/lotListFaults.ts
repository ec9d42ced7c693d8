import { type Kysely, type Selectable, sql } from "kysely";
import { computedChecksum, isShownSound, type ListRow, listRow } from "./lotList.ts";
import type { Tables } from "./tables.ts";

// Where the list of lots and what is saved do not agree.

/** Where the list is not what follows from the entries, or what was computed is not what was written, as sentences. */
export async function listFaults(db: Kysely<Tables>): Promise<string[]> {
  const rows = await db
    .selectFrom("entries")
    .select(["id", "part", "day", "words", "body"])
    .where("kind", "=", "lot")
    .execute();
  const listed = new Map(
    (await db.selectFrom("lot_list").selectAll().execute()).map((row) => [row.lot, row]),
  );
  const unlisted = rows.filter((row) => !isListed(listed.get(row.id), listRow(row))).map(({ id }) => id);
  const known = new Set(rows.map(({ id }) => id));
  const strange = [...listed.keys()].filter((lot) => !known.has(lot));
  const stages = await sql<{
    lot: number;
  }>`select c.lot from (select e.parent as lot, e.part as stage, count(*) as runs
        from entries e where e.kind = 'measurement' and e.part <> '' group by e.parent, e.part) c
      left join lot_stages s on s.lot = c.lot and s.stage = c.stage where s.lot is null or s.runs <> c.runs
    union select s.lot from lot_stages s where not exists (select 1 from entries e
      where e.kind = 'measurement' and e.parent = s.lot and e.part = s.stage)
    union select s.lot from lot_stages s join lot_list l on l.lot = s.lot where s.part <> l.part or s.day <> l.day`.execute(
    db,
  );
  const ahead = await sql<{ part: string }>`select part from ground_marks
    where touched > (select coalesce(max(seq), 0) from events)`.execute(db);
  const computed = await db.selectFrom("lot_stages").selectAll().where("summary", "is not", null).execute();
  return [
    ...[...unlisted, ...strange].map((lot) => `Lot ${lot} is not listed as it is saved.`),
    ...[...listed.values()]
      .filter((row) => !isShownSound(row))
      .map(({ lot }) => `What the list says was computed of lot ${lot} does not match its checksum.`),
    ...stages.rows.map(({ lot }) => `The runs of lot ${lot} are not counted as they are saved.`),
    ...ahead.rows.map(
      ({ part }) => `What answers about "${part}" rest on is marked by an event that there is not.`,
    ),
    ...computed
      .filter((row) => computedChecksum(row) !== row.checksum)
      .map(({ lot, stage }) => `What was computed of lot ${lot}, ${stage}, does not match its checksum.`),
  ];
}

/** Which of these lots are listed, but not there. One question, so that nobody writes in between. */
export async function goneLots(db: Kysely<Tables>, lots: readonly number[]): Promise<number[]> {
  if (lots.length === 0) return [];
  const { rows } = await sql<{
    lot: number;
  }>`select l.lot from lot_list l where l.lot in (${sql.join([...lots])})
    and not exists (select 1 from entries e where e.kind = 'lot' and e.id = l.lot)`.execute(db);
  return rows.map(({ lot }) => lot);
}

/** A lot that is listed under a material, but not there; null for none. One question, so that nobody writes in between. */
export async function goneOfPart(db: Kysely<Tables>, part: string): Promise<number | null> {
  const { rows } = await sql<{ lot: number }>`select l.lot from lot_list l where l.part = ${part}
    and not exists (select 1 from entries e where e.kind = 'lot' and e.id = l.lot) limit 1`.execute(db);
  return rows[0]?.lot ?? null;
}

/** Lots that are there and not listed, the first of them. One question, so that nobody writes in between. */
export async function unlistedLots(db: Kysely<Tables>): Promise<number[]> {
  const { rows } = await sql<{ id: number }>`select e.id from entries e where e.kind = 'lot'
    and not exists (select 1 from lot_list l where l.lot = e.id) limit 20`.execute(db);
  return rows.map(({ id }) => id);
}

/** Whether a lot has other runs that count than are counted of it. One question, so that nobody writes in between. */
export async function isMiscounted(db: Kysely<Tables>, lot: number): Promise<boolean> {
  const { rows } = await sql`select 1 from
      (select e.part as stage, count(*) as runs from entries e
        where e.kind = 'measurement' and e.parent = ${lot} and e.part <> '' group by e.part) c
      full join (select stage, runs from lot_stages where lot = ${lot}) s on s.stage = c.stage
    where c.runs is null or s.runs is null or c.runs <> s.runs`.execute(db);
  return rows.length > 0;
}

function isListed(row: Selectable<Tables["lot_list"]> | undefined, right: ListRow): boolean {
  return (["part", "day", "name", "words", "state", "own_band"] as const).every(
    (column) => row?.[column] === right[column],
  );
}
