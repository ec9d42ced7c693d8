import { type Kysely, type Selectable, sql, type Transaction } from "kysely";
import { z } from "zod";
import { checksumOf } from "#api/records/checksum.ts";
import type { Tables } from "./tables.ts";

type ListRow = Selectable<Tables["lot_list"]>;

const rowsAtOnce = 500;

/**
 * Writes anew how lots are listed, and how many runs that count each of their stages has, from the entries as they
 * stand. What was computed of a lot stays, and counts as old from the event that touches it.
 *
 * @param lots  null for all of them
 */
export async function listLots(tx: Transaction<Tables>, lots: readonly number[] | null): Promise<void> {
  if (lots === null) await listSome(tx, null);
  else for (const some of pages(lots)) await listSome(tx, some);
}

async function listSome(tx: Transaction<Tables>, lots: readonly number[] | null): Promise<void> {
  let gone = tx
    .deleteFrom("lot_list")
    .where(({ not, exists, selectFrom }) =>
      not(
        exists(
          selectFrom("entries")
            .select("id")
            .where("kind", "=", "lot")
            .whereRef("entries.id", "=", "lot_list.lot"),
        ),
      ),
    );
  if (lots !== null) gone = gone.where("lot", "in", [...lots]);
  await gone.execute();
  for (let after = 0; ; ) {
    let query = tx
      .selectFrom("entries")
      .select(["id", "part", "day", "words", "body"])
      .where("kind", "=", "lot")
      .where("id", ">", after)
      .orderBy("id")
      .limit(rowsAtOnce);
    if (lots !== null) query = query.where("id", "in", [...lots]);
    const rows = await query.execute();
    const last = rows.at(-1);
    if (last === undefined) break;
    await putRows(tx, rows.map(listRow));
    after = last.id;
  }
  await countRuns(tx, lots);
}

const lotBody = z.looseObject({
  name: z.string(),
  bandId: z.number().nullable(),
  state: z.looseObject({ name: z.string() }).optional(),
});

/** A lot whose body is damaged is listed all the same, so that it can be said that it is. */
function listRow(row: Pick<Tables["entries"], "id" | "part" | "day" | "words" | "body">): ListRow {
  const found = lotBody.safeParse(jsonIn(row.body)).data;
  return {
    lot: row.id,
    part: row.part,
    day: row.day,
    name: (found?.name ?? "").toLowerCase().replaceAll("\u0000", ""),
    words: row.words,
    state: found?.state?.name ?? "open",
    own_band: found?.bandId ?? null,
    band: null,
    shown: "",
    touched: 1,
    computed: 0,
    model: "",
  };
}

function jsonIn(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

async function putRows(tx: Transaction<Tables>, rows: readonly ListRow[]): Promise<void> {
  await tx
    .insertInto("lot_list")
    .values([...rows])
    .onConflict((conflict) =>
      conflict.column("lot").doUpdateSet((eb) => ({
        part: eb.ref("excluded.part"),
        day: eb.ref("excluded.day"),
        name: eb.ref("excluded.name"),
        words: eb.ref("excluded.words"),
        state: eb.ref("excluded.state"),
        own_band: eb.ref("excluded.own_band"),
      })),
    )
    .execute();
}

/** The stages that have runs, each with how many; those that have none any more go, with what was computed of them. */
async function countRuns(tx: Transaction<Tables>, lots: readonly number[] | null): Promise<void> {
  const some = lots === null ? sql`` : sql`and l.lot in (${sql.join([...lots])})`;
  const ofThese = lots === null ? sql`` : sql`lot_stages.lot in (${sql.join([...lots])}) and`;
  await sql`insert into lot_stages (lot, stage, part, day, runs)
    select l.lot, e.part, l.part, l.day, count(*) from lot_list l
      join entries e on e.kind = 'measurement' and e.parent = l.lot and e.part <> ''
      where true ${some} group by l.lot, e.part, l.part, l.day
    on conflict (lot, stage) do update set part = excluded.part, day = excluded.day, runs = excluded.runs`.execute(
    tx,
  );
  await sql`delete from lot_stages where ${ofThese} not exists (select 1 from entries e
    where e.kind = 'measurement' and e.parent = lot_stages.lot and e.part = lot_stages.stage)`.execute(tx);
}

/** Says of lots that what is computed of them rests on what was before an event. @param lots  null for all */
export async function touchLots(
  tx: Transaction<Tables>,
  lots: readonly number[] | null,
  seq: number,
): Promise<void> {
  if (lots === null) await tx.updateTable("lot_list").set({ touched: seq }).execute();
  else
    for (const some of pages(lots))
      await tx.updateTable("lot_list").set({ touched: seq }).where("lot", "in", some).execute();
}

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
  const computed = await db.selectFrom("lot_stages").selectAll().where("summary", "is not", null).execute();
  return [
    ...[...unlisted, ...strange].map((lot) => `Lot ${lot} is not listed as it is saved.`),
    ...stages.rows.map(({ lot }) => `The runs of lot ${lot} are not counted as they are saved.`),
    ...computed
      .filter((row) => computedChecksum(row) !== row.checksum)
      .map(({ lot, stage }) => `What was computed of lot ${lot}, ${stage}, does not match its checksum.`),
  ];
}

function isListed(row: ListRow | undefined, right: ListRow): boolean {
  return (["part", "day", "name", "words", "state", "own_band"] as const).every(
    (column) => row?.[column] === right[column],
  );
}

type Computed = Pick<
  Tables["lot_stages"],
  "lot" | "stage" | "verdict" | "chance" | "d10_um" | "d50_um" | "d90_um" | "area" | "bet" | "summary"
>;

/** The checksum of what was computed of a stage. */
export function computedChecksum(row: Computed): string {
  const { lot, stage, verdict, chance, d10_um, d50_um, d90_um, area, bet, summary } = row;
  return checksumOf(lot, stage, verdict, chance, d10_um, d50_um, d90_um, area, bet, summary);
}

function pages<T>(all: readonly T[]): T[][] {
  return Array.from({ length: Math.ceil(all.length / rowsAtOnce) }, (_, i) =>
    all.slice(i * rowsAtOnce, (i + 1) * rowsAtOnce),
  );
}
