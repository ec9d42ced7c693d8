import type { Kysely } from "kysely";
import { z } from "zod";
import { NoSuchEntry } from "#api/records/faults.ts";
import { kinds } from "#api/records/kinds.ts";
import type {
  Damaged,
  ListedReleaseRecord,
  NewResult,
  ReleasedReport,
  ReleaseInputs,
  Saved,
  SavedResult,
  SavedStageRecord,
  ShownReleaseRecord,
  StageSetting,
} from "#api/records/records.ts";
import { buildReport, type ReportInputs } from "#api/report/buildReport.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesById, entriesOf, entryOf, withIds } from "#api/store/ledger/entries.ts";
import { append, type Occasion, type Written } from "#api/store/ledger/ledger.ts";
import type { LotRecord } from "#model/answers/factors/lotHistory.ts";
import type { Stage } from "#model/lot/stages.ts";
import { makeLots } from "./lots.ts";
import { only } from "./only.ts";
import { freeze, inputsOf, shown } from "./releaseRecords.ts";
import { bandFor, reportInputs } from "./reportInputs.ts";

/** All about a lot beside its runs: how its stages were made, what else was found, and what was frozen. */
export function makeCard(db: Kysely<Tables>, clock: () => Date) {
  const change = (occasion: Occasion, work: Parameters<typeof append>[3]) =>
    append(db, clock, occasion, work);
  const { lot: lotWithRuns } = makeLots(db, clock);
  const inputs = async (lotId: number, stage: Stage): Promise<ReleaseInputs | null> => {
    const found = await lotWithRuns(lotId);
    if (found === null) return null;
    return inputsOf(found.lot, stage, found.measurements, await bandFor(db, found.lot));
  };
  return {
    /** All that a sheet of the lot rests on; null when there is no such lot. @throws DamagedEntry */
    onSheet: (lotId: number): Promise<ReportInputs | null> => reportInputs(db, clock, lotId),

    async card(lotId: number): Promise<{
      stages: SavedStageRecord[];
      results: SavedResult[];
      frozen: ListedReleaseRecord[];
      damaged: readonly Damaged[];
    }> {
      const stages = await entriesOf(db, "stage", lotId);
      const results = await entriesOf(db, "result", lotId);
      const frozen = await entriesOf(db, "frozen", lotId);
      return {
        stages: withIds(stages.kept),
        results: withIds(results.kept),
        frozen: frozen.kept.map(listed),
        damaged: [...stages.damaged, ...results.damaged, ...frozen.damaged],
      };
    },

    /** Settings and note of a stage; both empty takes them off the card. */
    keepStage: (
      lotId: number,
      stage: Stage,
      told: { readonly settings: readonly StageSetting[]; readonly note: string },
      expected: number | null,
      occasion: Occasion,
    ): Promise<Written> =>
      change(occasion, async (pen) => {
        const lot = await pen.read("lot", lotId);
        const all = await entriesOf(pen.tx, "stage", lotId);
        const now = all.kept.find((s) => s.body.stage === stage);
        const isNothing = told.settings.length === 0 && told.note === "";
        await only(pen, "stage", now ?? null, isNothing ? null : { lotId, stage, ...told }, expected);
        return { what: `noted settings of ${stage} of lot "${lot.name}"` };
      }),

    /** What is kept of the latest lots with runs of a stage, in the order they were made. */
    async lotRecords(
      stage: Stage,
      limit: number,
    ): Promise<{ records: LotRecord[]; damaged: readonly Damaged[] }> {
      const latest = await db
        .selectFrom("entries")
        .select("parent")
        .distinct()
        .where("kind", "=", "measurement")
        .where("part", "=", stage)
        .orderBy("parent", "desc")
        .limit(limit)
        .execute();
      const ids = latest.flatMap((row) => row.parent ?? []).reverse();
      const lots = await entriesById(db, "lot", ids);
      const runs = await entriesOf(db, "measurement", ids);
      const noted = await entriesOf(db, "stage", ids);
      const results = await entriesOf(db, "result", ids);
      const records = lots.kept.map((lot): LotRecord => {
        const isOwn = ({ body }: { body: { lotId: number } }) => body.lotId === lot.id;
        return {
          name: lot.body.name,
          densityGPerCm3: lot.body.densityGPerCm3,
          runs: runs.kept
            .filter((r) => isOwn(r) && r.body.stage === stage && r.body.asideBecause === null)
            .map(({ body: { file, name, distribution } }) => ({ file, name, distribution })),
          settings: noted.kept
            .filter(isOwn)
            .flatMap(({ body }) => body.settings.map((s) => ({ stage: body.stage, ...s }))),
          results: results.kept.filter(isOwn).map(({ body }) => body),
        };
      });
      return { records, damaged: [...lots.damaged, ...runs.damaged, ...noted.damaged, ...results.damaged] };
    },

    keepResult: (lotId: number, result: NewResult, occasion: Occasion): Promise<Written> =>
      change(occasion, async (pen) => {
        const lot = await pen.read("lot", lotId);
        const body = { lotId, ...result };
        await pen.make("result", body);
        return { what: `noted ${kinds.result.title(body)} of lot "${lot.name}"` };
      }),

    changeResult: (
      id: number,
      result: NewResult,
      expected: number | null,
      occasion: Occasion,
    ): Promise<Written> =>
      change(occasion, async (pen) => {
        const was = await pen.change("result", id, expected, ({ lotId }) => ({ lotId, ...result }));
        return { what: `changed ${kinds.result.title(was)}` };
      }),

    removeResult: (id: number, expected: number | null, occasion: Occasion): Promise<Written> =>
      change(occasion, async (pen) => ({
        what: `deleted ${kinds.result.title(await pen.remove("result", id, expected))}`,
      })),

    /** Freezes what is answered today about a stage of a lot. @throws NoSuchEntry, DomainError  no runs */
    freeze: (
      lotId: number,
      stage: Stage,
      told: { readonly name: string; readonly note: string },
      occasion: Occasion,
    ): Promise<Written> =>
      // Read once, where it is written: the sheet and the inputs beside it are of the same moment.
      change(occasion, async (pen) => {
        const kept = await reportInputs(pen.tx, clock, lotId);
        if (kept === null) throw new NoSuchEntry("lot", lotId);
        const now = inputsOf(kept.lot, stage, kept.measurements, kept.band);
        const sheet = buildReport(kept, { stage, report: "full" });
        await pen.make("frozen", freeze(lotId, now, told, clock().toISOString(), sheet?.html ?? null));
        return { what: `froze "${told.name}" (${stage} of lot "${now.lotName}")` };
      }),

    /** The sheet as it was frozen; null when there is none. @throws NoSuchEntry, DamagedEntry */
    async frozenSheet(id: number): Promise<ReleasedReport | null> {
      const kept = await entryOf(db, "frozen", id);
      if (kept === null) throw new NoSuchEntry("frozen", id);
      return kept.body.sheet;
    },

    /** A frozen answer beside today's; null when there is none. @throws DamagedEntry */
    async frozen(id: number): Promise<ShownReleaseRecord | null> {
      const kept = await entryOf(db, "frozen", id);
      return kept === null ? null : shown(kept, await inputs(kept.body.lotId, kept.body.inputs.stage));
    },
  };
}

const checked = z.object({ check: z.object({ sentence: z.string() }).nullable() });

function listed({ id, version, body }: Saved<"frozen">): ListedReleaseRecord {
  const { lotId, name, note, frozenAt, modelVersion, hash, inputs, result, sheet } = body;
  const { data } = checked.safeParse(result);
  const sentence = data?.check?.sentence ?? "";
  const said = { stage: inputs.stage, sentence, hasSheet: sheet !== null };
  return { id, version, lotId, name, note, frozenAt, modelVersion, hash, ...said };
}
