import { sql, type Transaction } from "kysely";
import { z } from "zod";
import type { EntryKind } from "#api/records/kinds.ts";
import { listLots, touchLots } from "#api/store/database/lotList.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { folded } from "#model/lot/processSteps.ts";

/** A step of an event: what an entry was and what it is. */
interface Step {
  readonly kind: EntryKind;
  readonly id: number;
  readonly before: string | null;
  readonly after: string | null;
}

/** A mark that holds for every material. Folded names hold no star alone, as a person would have to name one so. */
export const everyMaterial = "*";

const entryOfLot = z.looseObject({ lotId: z.number() });
const named = z.looseObject({ name: z.string() });
const pair = z.looseObject({ material: z.string().optional() });
const lotTold = z.looseObject({ material: z.string() });
/** What is told of a lot and changes no number. */
const unweighed = ["name", "note", "state", "keptAt"];
/** What a summary of a lot rests on beside the lot. */
const ofLots: readonly EntryKind[] = ["measurement", "stage", "result"];
/** With more than this many lots in one event all of them are gone through at once. */
const maxNamed = 5000;

/**
 * Brings the list of lots up to an event, in its transaction: what of it changed, whose summaries are old from now on,
 * and on which materials answers rest that changed with it.
 */
export async function markLots(tx: Transaction<Tables>, seq: number, steps: readonly Step[]): Promise<void> {
  const entered = steps.map(touchedBy);
  const listed = [...new Set(entered.flatMap(({ listed }) => listed))];
  const touched = [...new Set(entered.flatMap(({ touched }) => touched))];
  const gone = steps.flatMap(({ kind, id, after }) => (kind === "lot" && after === null ? [id] : []));
  const isAll = listed.length > maxNamed;
  // Where a lot goes from, its material is asked before the list forgets it.
  const parts = new Set([...entered.flatMap(({ parts }) => parts), ...(await partsOf(tx, touched))]);
  if (listed.length > 0) await listLots(tx, isAll ? null : listed);
  if (gone.length > 0) await forget(tx, gone.length > maxNamed ? null : gone);
  if (touched.length > 0) await touchLots(tx, isAll ? null : touched, seq);
  for (const part of await partsOf(tx, touched)) parts.add(part);
  for (const part of await partsHeldAgainst(tx, steps)) parts.add(part);
  for (const part of parts) await mark(tx, part, seq);
}

/** Stages of lots that are there no more. @param lots  null where there are many: then all are gone through */
async function forget(tx: Transaction<Tables>, lots: readonly number[] | null): Promise<void> {
  if (lots !== null) await tx.deleteFrom("lot_stages").where("lot", "in", lots).execute();
  else
    await sql`delete from lot_stages where not exists (select 1 from lot_list where lot_list.lot = lot_stages.lot)`.execute(
      tx,
    );
}

interface Touched {
  readonly listed: readonly number[];
  readonly touched: readonly number[];
  readonly parts: readonly string[];
}

function touchedBy({ kind, id, before, after }: Step): Touched {
  const bodies = [before, after].flatMap((text) => (text === null ? [] : [jsonIn(text)]));
  if (ofLots.includes(kind)) {
    const lots = bodies.flatMap((body) => entryOfLot.safeParse(body).data?.lotId ?? []);
    return { listed: lots, touched: lots, parts: [] };
  }
  if (kind === "lot") {
    if (before !== null && after !== null && weighed(before) === weighed(after))
      return { listed: [id], touched: [], parts: [] };
    const parts = bodies.map((body) => folded(lotTold.safeParse(body).data?.material ?? ""));
    return { listed: [id], touched: [id], parts };
  }
  if (kind === "material")
    return { listed: [], touched: [], parts: bodies.map((b) => folded(named.safeParse(b).data?.name ?? "")) };
  if (kind === "pair") {
    const parts = bodies.map((body) => pair.safeParse(body).data?.material);
    return {
      listed: [],
      touched: [],
      parts: parts.map((p) => (p === undefined ? everyMaterial : folded(p))),
    };
  }
  return { listed: [], touched: [], parts: [] };
}

/** A lot without what changes no number. */
function weighed(text: string): string {
  const body = z.looseObject({}).safeParse(jsonIn(text)).data ?? {};
  return JSON.stringify(Object.entries(body).filter(([name]) => !unweighed.includes(name)));
}

function jsonIn(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

async function partsOf(tx: Transaction<Tables>, lots: readonly number[]): Promise<string[]> {
  if (lots.length === 0) return [];
  let query = tx.selectFrom("lot_list").select("part").distinct();
  if (lots.length <= maxNamed) query = query.where("lot", "in", [...lots]);
  return (await query.execute()).map(({ part }) => part);
}

/** The materials whose lots were held against a band that changed, or against none. */
async function partsHeldAgainst(tx: Transaction<Tables>, steps: readonly Step[]): Promise<string[]> {
  const bands = steps.filter(({ kind }) => kind === "band").map(({ id }) => id);
  if (bands.length === 0) return [];
  const rows = await tx
    .selectFrom("lot_list")
    .select("part")
    .distinct()
    .where((eb) => eb.or([eb("band", "in", bands), eb("band", "is", null)]))
    .execute();
  return rows.map(({ part }) => part);
}

async function mark(tx: Transaction<Tables>, part: string, seq: number): Promise<void> {
  await tx
    .insertInto("ground_marks")
    .values({ part: part.replaceAll("\u0000", ""), touched: seq })
    .onConflict((conflict) => conflict.column("part").doUpdateSet({ touched: seq }))
    .execute();
}
