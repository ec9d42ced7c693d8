import type { Kysely } from "kysely";
import type { Damaged } from "#api/records/records.ts";
import { lossOf } from "#api/store/database/fileDatabase.ts";
import { isMiscounted } from "#api/store/database/lotListFaults.ts";
import type { Tables } from "#api/store/database/tables.ts";
import type { ReadEntries } from "#api/store/ledger/entries.ts";

// What a list of lots, or a lot, says of itself where something of it is damaged.

/** How many runs that count a lot has of each stage, by its number. */
export type RunsByLot = ReadonlyMap<number, ReadonlyMap<string, number>>;

export function misplacedLot(id: number): Damaged {
  const message = `What the list was sorted by is damaged for lot ${id}, so it may stand in the wrong place. "fineband verify --mend" makes the list anew.`;
  return { kind: "lot", id, message };
}

export function unlistedLot(id: number): Damaged {
  const message = `Lot ${id} is saved, but the list of lots does not have it. "fineband verify --mend" makes the list anew.`;
  return { kind: "lot", id, message };
}

export function goneLot(id: number): Damaged {
  const message = `Lot ${id} is listed, but what is saved of it cannot be read. "fineband verify" says what is damaged.`;
  return { kind: "lot", id, message };
}

/** The mark of a lot whose runs are not those that are counted of it: one of them cannot be found, or was put in. */
export async function miscounted(
  db: Kysely<Tables>,
  id: number,
  { kept, damaged }: ReadEntries<"measurement">,
  counted: RunsByLot,
): Promise<Damaged[]> {
  if (damaged.length > 0) return [];
  const runs = new Map<string, number>();
  for (const { body } of kept)
    if (body.exclusionReason === null) runs.set(body.stage, (runs.get(body.stage) ?? 0) + 1);
  const told = counted.get(id) ?? new Map<string, number>();
  const isSame = runs.size === told.size && [...runs].every(([stage, count]) => told.get(stage) === count);
  // Somebody may have written between both questions.
  if (isSame || !(await isMiscounted(db, id))) return [];
  const message = `Lot ${id} has other runs than are counted of it: one cannot be read. "fineband verify" says which.`;
  return [{ kind: "lot", id, message }];
}

/** What a list must say of itself where changes that had been saved are lost. */
export function lostLots(db: Kysely<Tables>): Damaged[] {
  const lost = lossOf(db);
  return lost === null
    ? []
    : [{ kind: "lot", id: 0, message: `${lost} docs/recovery.md says how to go on.` }];
}
