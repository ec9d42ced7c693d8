import { type Insertable, type Selectable, sql, type Transaction } from "kysely";
import { z } from "zod";
import { checksumOf } from "#api/records/checksum.ts";
import type { Tables } from "./tables.ts";

export type ListRow = Insertable<Tables["lot_list"]>;

const rowsAtOnce = 500;

/**
 * Writes anew how lots are listed, and how many runs that count each of their stages has, from the entries as they
 * stand. What was computed of a lot stays, and counts as old from the event that touches it.
 *
 * @param lots  null for all of them
 */
export async function listLots(tx: Transaction<Tables>, lots: readonly number[] | null): Promise<void> {
  for (const some of lots === null ? [null] : pages(lots)) {
    await listSome(tx, some);
    await forgetShown(tx, some);
  }
}

/** The same in a schema whose list does not yet hold what was computed. */
export const listAllOfBefore = (tx: Transaction<Tables>): Promise<void> => listSome(tx, null);

/** Where the stage that was shown has no runs any more, nothing is known of the lot until it is computed anew. */
async function forgetShown(tx: Transaction<Tables>, lots: readonly number[] | null): Promise<void> {
  let query = tx
    .updateTable("lot_list")
    .set({ ...nothingComputed, checksum: "" })
    .where("shown", "<>", "")
    .where(({ not, exists, selectFrom }) =>
      not(
        exists(
          selectFrom("lot_stages")
            .select("stage")
            .whereRef("lot_stages.lot", "=", "lot_list.lot")
            .whereRef("lot_stages.stage", "=", "lot_list.shown"),
        ),
      ),
    );
  if (lots !== null) query = query.where("lot", "in", [...lots]);
  await query.execute();
}

const nothingComputed = {
  band: null,
  shown: "",
  computed: 0,
  model: "",
  verdict: null,
  chance: null,
  d10_um: null,
  d50_um: null,
  d90_um: null,
  area: null,
  bet: null,
} as const;

/**
 * Writes into the list what was computed of lots, from the stage that each shows.
 *
 * @param rows  as they stand in the list, with what is to be written of band, stage shown, event and model
 */
export async function showStages(
  tx: Transaction<Tables>,
  rows: readonly Pick<Shown, "lot" | "band" | "shown" | "computed" | "model">[],
): Promise<void> {
  for (const some of pages(rows)) {
    const lots = some.map(({ lot }) => lot);
    const stages = await tx.selectFrom("lot_stages").selectAll().where("lot", "in", lots).execute();
    const ofLot = new Map(stages.map((row) => [`${row.lot} ${row.stage}`, row]));
    for (const { lot, ...entered } of some) {
      const { verdict, chance, d10_um, d50_um, d90_um, area, bet } =
        ofLot.get(`${lot} ${entered.shown}`) ?? nothingComputed;
      const row = { ...entered, verdict, chance, d10_um, d50_um, d90_um, area, bet };
      const checksum = shownChecksum({ lot, ...row });
      await tx
        .updateTable("lot_list")
        .set({ ...row, checksum })
        .where("lot", "=", lot)
        .execute();
    }
  }
}

/** The columns of the list that follow from computing. */
export type Shown = Pick<Selectable<Tables["lot_list"]>, "lot" | keyof typeof nothingComputed>;

/** The checksum of what the list says was computed of a lot. */
function shownChecksum(row: Shown): string {
  const { lot, band, shown, computed, model, verdict, chance, d10_um, d50_um, d90_um, area, bet } = row;
  return checksumOf(lot, band, shown, computed, model, verdict, chance, d10_um, d50_um, d90_um, area, bet);
}

/** Whether the list says of a lot what was written there; where nothing was computed, nothing. */
export function isShownSound(row: Shown & { readonly checksum: string }): boolean {
  return (
    row.checksum === shownChecksum(row) || (row.checksum === "" && row.shown === "" && row.computed === 0)
  );
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
export function listRow(row: Pick<Tables["entries"], "id" | "part" | "day" | "words" | "body">): ListRow {
  const found = lotBody.safeParse(jsonIn(row.body)).data;
  return {
    lot: row.id,
    part: row.part,
    day: row.day,
    name: (found?.name ?? "").toLowerCase().replaceAll("\u0000", ""),
    words: row.words,
    state: found?.state?.name ?? "open",
    own_band: found?.bandId ?? null,
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
