import type { Kysely } from "kysely";
import type { SavedLot } from "#api/records/records.ts";
import type { ReportInputs } from "#api/report/buildReport.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesOf, entryOf, withIds } from "#api/store/ledger/entries.ts";
import type { Band } from "#model/band/band.ts";
import { makeLots } from "./lots.ts";

/** The band a lot is held against: its own, else the first that is kept, as on the page. @throws DamagedEntry */
export async function bandFor(db: Kysely<Tables>, { bandId }: SavedLot): Promise<Band | null> {
  const own = bandId === null ? null : await entryOf(db, "band", bandId);
  return own?.body ?? (await entriesOf(db, "band")).kept[0]?.body ?? null;
}

/** All that a sheet of a lot rests on; null when there is no such lot. @throws DamagedEntry */
export async function reportInputs(
  db: Kysely<Tables>,
  clock: () => Date,
  lotId: number,
): Promise<ReportInputs | null> {
  const found = await makeLots(db, clock).lot(lotId);
  if (found === null) return null;
  const stages = await entriesOf(db, "stage", lotId);
  const results = await entriesOf(db, "result", lotId);
  const pairs = await entriesOf(db, "pair");
  return {
    ...found,
    band: await bandFor(db, found.lot),
    stages: withIds(stages.kept),
    results: withIds(results.kept),
    pairs: pairs.kept.map(({ body }) => body),
  };
}
