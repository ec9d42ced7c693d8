import type { Kysely } from "kysely";
import { z } from "zod";
import { NoSuchEntry } from "#api/records/faults.ts";
import type {
  Damaged,
  ListedReleaseRecord,
  ReleasedReport,
  ReleaseInputs,
  Saved,
  ShownReleaseRecord,
} from "#api/records/records.ts";
import { buildReport } from "#api/report/buildReport.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesById, entriesOf, entryOf, withIds } from "#api/store/ledger/entries.ts";
import { append, type ChangeContext, type Written } from "#api/store/ledger/ledger.ts";
import type { LabKey } from "#api/store/signing/labKey.ts";
import { signatureStateOf, signedOfRelease } from "#api/store/signing/signed.ts";
import type { LotRecord } from "#model/answers/factors/lotHistory.ts";
import type { Stage } from "#model/lot/stages.ts";
import { calibrationFor, type KeptCalibration } from "./calibration.ts";
import { groundFor, groundOfLot, type SavedGround } from "./ground.ts";
import { asMeasured, inputsOf, releaseRecord, shown, taughtToday } from "./releaseRecords.ts";
import { reportInputs } from "./reportInputs.ts";

/** Answers as they were released, and what is kept of many lots together. */
export function makeReleases(db: Kysely<Tables>, clock: () => Date, key: LabKey | null) {
  const change = (occasion: ChangeContext, work: Parameters<typeof append>[3]) =>
    append(db, clock, occasion, work);
  const inputs = async (lotId: number, stage: Stage): Promise<ReleaseInputs | null> => {
    const kept = await reportInputs(db, clock, lotId, stage);
    return kept === null ? null : inputsOf(kept.lot, kept.stage ?? stage, kept);
  };
  return {
    /** What is kept of the newest lots with runs of a stage, of one material or of all, oldest first; with the ground in words. */
    async lotRecords(asked: {
      readonly stage: Stage;
      readonly limit: number;
      readonly material: string | null;
    }): Promise<{ records: LotRecord[]; stage: Stage; ground: string | null; damaged: readonly Damaged[] }> {
      const { limit, material } = asked;
      const ground =
        material === null ? null : await groundFor(db, { material, stage: asked.stage, most: limit });
      const stage = ground?.stage ?? asked.stage;
      const ids = ground?.lots.map((lot) => lot.id) ?? (await latestLots(db, stage, limit));
      const read = ground === null ? await lotsWithRuns(db, ids, stage) : taughtBy(ground);
      const { lots, runs } = read;
      const noted = await entriesOf(db, "stage", ids);
      const results = await entriesOf(db, "result", ids);
      const inOrder = lots.toSorted((a, b) => ids.indexOf(b.id) - ids.indexOf(a.id));
      const records = inOrder.map((lot): LotRecord => {
        const isOwn = ({ body }: { body: { lotId: number } }) => body.lotId === lot.id;
        return {
          id: lot.id,
          name: lot.body.name,
          densityGPerCm3: lot.body.densityGPerCm3,
          runs: runs
            .filter(isOwn)
            .map(({ body: { file, name, distribution } }) => ({ file, name, distribution })),
          settings: noted.kept
            .filter(isOwn)
            .flatMap(({ body }) => body.settings.map((s) => ({ stage: body.stage, ...s }))),
          results: results.kept.filter(isOwn).map(({ body }) => body),
        };
      });
      const damaged = [read, noted, results].flatMap((one) => one.damaged);
      return { records, stage, ground: ground?.sentence ?? null, damaged };
    },

    /** Whose lots teach an answer about a stage of a lot; null when there is no such lot. */
    async ground(lotId: number, asked: Parameters<typeof groundOfLot>[2]): Promise<SavedGround | null> {
      const lot = await entryOf(db, "lot", lotId);
      return lot === null ? null : groundOfLot(db, { id: lotId, material: lot.body.material }, asked);
    },

    /** The same for powder that is not kept as a lot. */
    groundOfMaterial: (material: string, stage: Stage): Promise<SavedGround> =>
      groundFor(db, { material, stage }),

    /** The BET pairs that hold for a stage of a material, those of lots and those typed, and whose lots were asked. */
    calibration: (asked: Parameters<typeof calibrationFor>[1]): Promise<KeptCalibration> =>
      calibrationFor(db, asked),

    /** Freezes what is answered today about a stage of a lot. @throws NoSuchEntry, DomainError  no runs */
    release: (
      lotId: number,
      { stage: asked, ...entered }: { readonly stage: Stage; readonly name: string; readonly note: string },
      occasion: ChangeContext,
    ): Promise<Written> =>
      // Read once, where it is written: the sheet and the inputs beside it are of the same moment.
      change(occasion, async (writer) => {
        const kept = await reportInputs(writer.tx, clock, lotId, asked);
        if (kept === null) throw new NoSuchEntry("lot", lotId);
        const stage = kept.stage ?? asked;
        const now = inputsOf(kept.lot, stage, kept);
        const sheet = buildReport(kept, { stage, report: "full" });
        const at = clock().toISOString();
        const taught = kept.kept
          .map((runs) => runs.filter((run) => run.stage === stage).map(asMeasured))
          .filter((runs) => runs.length > 0);
        const record = releaseRecord(
          { inputs: now, kept: taught },
          { lotId, ...entered, at, html: sheet?.html ?? null },
        );
        const signed = key === null ? {} : { signature: key.sign(signedOfRelease(record)) };
        await writer.make("frozen", { ...record, ...signed });
        return { what: `released "${entered.name}" (${stage} of lot "${now.lotName}")` };
      }),

    /** The sheet as it was frozen; null when there is none. @throws NoSuchEntry, DamagedEntry */
    async releasedReport(id: number): Promise<ReleasedReport | null> {
      const kept = await entryOf(db, "frozen", id);
      if (kept === null) throw new NoSuchEntry("frozen", id);
      return kept.body.sheet;
    },

    /** A frozen answer beside today's; null when there is none. @throws DamagedEntry */
    async releaseRecord(id: number): Promise<ShownReleaseRecord | null> {
      const kept = await entryOf(db, "frozen", id);
      if (kept === null) return null;
      const { lotId, inputs: then } = kept.body;
      const ids = (then.ground?.lots ?? []).flatMap((lot) => (lot.runs ?? []).map((run) => run.id));
      const runs = withIds((await entriesById(db, "measurement", ids)).kept);
      const beside = shown(kept, await inputs(lotId, then.stage), taughtToday(then.ground, runs));
      return { ...beside, signatureState: signatureStateOf(kept.body, key) };
    },
  };
}

const checked = z.object({ check: z.object({ sentence: z.string() }).nullable() });

export function listed({ id, version, body }: Saved<"frozen">, key: LabKey | null): ListedReleaseRecord {
  const { lotId, name, note, releasedAt, modelVersion, hash, inputs, result, sheet } = body;
  const { data } = checked.safeParse(result);
  const sentence = data?.check?.sentence ?? "";
  const said = {
    stage: inputs.stage,
    sentence,
    hasSheet: sheet !== null,
    signatureState: signatureStateOf(body, key),
  };
  return { id, version, lotId, name, note, releasedAt, modelVersion, hash, ...said };
}

/** Lots with their runs of a stage that count. */
async function lotsWithRuns(db: Kysely<Tables>, ids: readonly number[], stage: Stage) {
  const lots = await entriesById(db, "lot", ids);
  const runs = await entriesOf(db, "measurement", ids, stage);
  return { lots: lots.kept, runs: runs.kept, damaged: [...lots.damaged, ...runs.damaged] };
}

/** The same of a ground, which holds them already. */
function taughtBy({ lots }: SavedGround) {
  return {
    lots: lots.map(({ id, version, lot }) => ({ id, version, body: lot })),
    runs: lots.flatMap((lot) => lot.runs),
    damaged: [],
  };
}

/** The lots saved last that have runs of a stage, whatever their material, newest first. */
async function latestLots(db: Kysely<Tables>, stage: Stage, limit: number): Promise<number[]> {
  const measured = await db
    .selectFrom("entries")
    .select("parent")
    .distinct()
    .where("kind", "=", "measurement")
    .where("part", "=", stage)
    .orderBy("parent", "desc")
    .limit(limit)
    .execute();
  return measured.flatMap((row) => row.parent ?? []);
}
