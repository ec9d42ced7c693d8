import type { Kysely } from "kysely";
import type { ReportInputs } from "#api/report/buildReport.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesOf, withIds } from "#api/store/ledger/entries.ts";
import { lastStage } from "#model/answers/report/reportAnswer.ts";
import type { Stage } from "#model/lot/stages.ts";
import { calibrationFor } from "./calibration.ts";
import { groundOfLot, type KeptGround } from "./ground.ts";
import { heldAgainst } from "./heldAgainst.ts";
import { makeLots } from "./lots.ts";

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
    band: (await heldAgainst(db, lot))?.body ?? null,
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
