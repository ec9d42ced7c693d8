import type { Kysely } from "kysely";
import type { SavedLot } from "#api/records/records.ts";
import type { ReportInputs } from "#api/report/buildReport.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesOf, entryOf, withIds } from "#api/store/ledger/entries.ts";
import type { Band } from "#model/band/band.ts";
import { bandIdFor, mostLenders, ofMaterial, pairsFor } from "#model/lot/material.ts";
import { makeLots } from "./lots.ts";

/** The band a lot is held against: its own, else its material's, as on the page. @throws DamagedEntry */
export async function bandFor(db: Kysely<Tables>, lot: SavedLot): Promise<Band | null> {
  const bands = await entriesOf(db, "band");
  const lots = lot.bandId === null ? await allLots(db) : [];
  const id = bandIdFor(
    lot,
    lots,
    bands.kept.map((band) => band.id),
  );
  return id === null ? null : ((await entryOf(db, "band", id))?.body ?? null);
}

async function allLots(db: Kysely<Tables>) {
  return (await entriesOf(db, "lot")).kept.map(({ id, body }) => ({ id, ...body }));
}

/** The runs of the newest other lots of the material, oldest first. */
async function runsOfLenders(db: Kysely<Tables>, lots: Awaited<ReturnType<typeof allLots>>, of: SavedLot) {
  const lenders = ofMaterial(lots, of.material)
    .toSorted((a, b) => b.id - a.id)
    .slice(0, mostLenders)
    .filter((lot) => lot.id !== of.id)
    .toReversed();
  return Promise.all(lenders.map(async (lot) => withIds((await entriesOf(db, "measurement", lot.id)).kept)));
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
  const pairs = (await entriesOf(db, "pair")).kept.map(({ body }) => body);
  const lots = await allLots(db);
  const materials = lots.map((lot) => lot.material);
  return {
    ...found,
    kept: await runsOfLenders(db, lots, found.lot),
    band: await bandFor(db, found.lot),
    stages: withIds(stages.kept),
    results: withIds(results.kept),
    pairs: pairsFor(pairs, found.lot.material, materials),
  };
}
