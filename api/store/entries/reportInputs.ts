import type { Kysely } from "kysely";
import type { SavedLot } from "#api/records/records.ts";
import type { ReportInputs } from "#api/report/buildReport.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesOf, entryOf, withIds } from "#api/store/ledger/entries.ts";
import { materialNamed } from "#api/store/ledger/materials.ts";
import { lastStage } from "#model/answers/report/reportAnswer.ts";
import type { Band } from "#model/band/band.ts";
import { bandIdFor, ofMaterial } from "#model/lot/material.ts";
import type { Stage } from "#model/lot/stages.ts";
import { calibrationFor } from "./calibration.ts";
import { groundOfLot, type KeptGround } from "./ground.ts";
import { makeLots } from "./lots.ts";

/**
 * The band a lot is held against: its own, else the one given to the newest other lot of its material, as on the page;
 * where no lot of it has one, that of the material. @throws DamagedEntry
 */
export async function bandFor(db: Kysely<Tables>, lot: SavedLot): Promise<Band | null> {
  const bandOf = async (id: number) => (await entryOf(db, "band", id))?.body ?? null;
  if (lot.bandId !== null) return bandOf(lot.bandId);
  const ids = (await entriesOf(db, "band")).kept.map((band) => band.id);
  const lots = await allLots(db);
  const given = ofMaterial(lots, lot.material).some(({ bandId }) => bandId !== null);
  const own = given ? undefined : (await materialNamed(db, lot.material))?.body.bands.at(-1);
  const id = own?.bandId ?? bandIdFor(lot, lots, ids);
  return id === null ? null : bandOf(id);
}

async function allLots(db: Kysely<Tables>) {
  return (await entriesOf(db, "lot")).kept.map(({ id, body }) => ({ id, ...body }));
}

/**
 * All that a sheet of a lot rests on; null when there is no such lot.
 *
 * @param stage  the last with runs that count when null
 * @throws DamagedEntry
 */
export async function reportInputs(
  db: Kysely<Tables>,
  clock: () => Date,
  lotId: number,
  stage: Stage | null,
): Promise<ReportInputs | null> {
  const found = await makeLots(db, clock).lot(lotId);
  if (found === null) return null;
  const { lot, measurements } = found;
  const stages = await entriesOf(db, "stage", lotId);
  const results = await entriesOf(db, "result", lotId);
  const of = stage ?? lastStage(measurements.filter((m) => m.exclusionReason === null));
  const { material } = lot;
  const taught = of === null ? null : await calibrationFor(db, { material, stage: of, exceptLotId: lotId });
  const ground = of === null ? [] : (await groundOfLot(db, lot, { stage: of })).lots.toReversed();
  return {
    ...found,
    kept: ground.map((teacher) => withIds(teacher.runs)),
    band: await bandFor(db, lot),
    stages: withIds(stages.kept),
    results: withIds(results.kept),
    pairs: taught?.pairs ?? [],
    ground: taught === null ? null : groundKept(taught.ground),
  };
}

/** A ground as a release record holds it: enough to say whose lots it was, and whether they are still as they were. */
function groundKept({ material, sentence, independent, lots }: KeptGround) {
  return { material, sentence, independent, lots: lots.map(({ id, version }) => ({ id, version })) };
}
