import type { Kysely } from "kysely";
import { DamagedEntry } from "#api/records/faults.ts";
import type { Bodies } from "#api/records/kinds.ts";
import type { SavedMeasurement } from "#api/records/records.ts";
import type { ReportInputs } from "#api/report/buildReport.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesOf, soundIn, withIds } from "#api/store/ledger/entries.ts";
import { lastStage } from "#model/answers/report/reportAnswer.ts";
import { folded } from "#model/lot/processSteps.ts";
import type { Stage } from "#model/lot/stages.ts";
import type { Measurand } from "#model/release/budget.ts";
import type { MeasurandCheck } from "#model/release/readChecks.ts";
import { calibrationFor } from "./calibration.ts";
import { type SavedGround, withMills } from "./ground.ts";
import { heldAgainst } from "./heldAgainst.ts";
import { makeLots } from "./lots.ts";
import { stageOf } from "./stageOfLot.ts";

/**
 * All that a sheet of a lot rests on; null when there is no such lot.
 *
 * @param stage  by any word the lot's material has for it; the last with runs that count when null
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
  const { lot, measurements, damaged } = found;
  if (damaged[0] !== undefined) throw new DamagedEntry(damaged[0]);
  const stages = soundIn(await entriesOf(db, "stage", lotId));
  const results = soundIn(await entriesOf(db, "result", lotId));
  const { material } = lot;
  const of = stage === null ? lastStage(lot.stages) : await stageOf(db, material, stage);
  const taught = of === null ? null : await calibrationFor(db, { material, stage: of, exceptLotId: lotId });
  const ground = taught === null || of === null ? null : await withMills(db, taught.ground);
  return {
    ...found,
    stage: of,
    kept: (ground?.lots ?? []).toReversed().map((teacher) => withIds(teacher.runs)),
    band: (await heldAgainst(db, lot))?.body ?? null,
    stages: withIds(stages),
    results: withIds(results),
    pairs: taught?.pairs ?? [],
    ground: ground === null || of === null ? null : groundKept(ground),
    checks: checksOf(
      measurements.filter((m) => m.stage === of && m.exclusionReason === null),
      soundIn(await entriesOf(db, "instrument")).map(({ body }) => body),
    ),
  };
}

/** A ground as a release record holds it: enough to say whose lots and runs it was, and whether they are still as they were. */
function groundKept({ material, stage, sentence, independent, lots }: SavedGround) {
  return {
    material,
    sentence,
    independent,
    lots: lots.toReversed().map(({ id, version, runs }) => ({
      id,
      version,
      runs: runs
        .filter((run) => run.body.stage === stage)
        .map((run) => ({ id: run.id, version: run.version })),
    })),
  };
}

const measurandOf: Readonly<Record<string, Measurand>> = {
  d10: "d10Um",
  d50: "d50Um",
  d90: "d90Um",
  area: "areaM2PerG",
};

/** The checks of the instruments that the runs name, of results that a budget knows. */
function checksOf(
  runs: readonly SavedMeasurement[],
  instruments: readonly Bodies["instrument"][],
): readonly MeasurandCheck[] {
  const named = new Set(runs.flatMap((run) => run.howMeasured?.instrument ?? []).map(folded));
  return instruments
    .filter((one) => named.has(folded(one.name)))
    .flatMap((one) => one.checks)
    .flatMap(({ quantity, stated, standardUncertainty, found }) => {
      const measurand = measurandOf[folded(quantity)];
      const isUsable = stated > 0 && found > 0;
      return measurand === undefined || !isUsable
        ? []
        : [{ measurand, measured: found, stated, statedU: standardUncertainty }];
    });
}
