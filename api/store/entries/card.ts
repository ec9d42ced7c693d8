import type { Kysely } from "kysely";
import { type Bodies, kinds } from "#api/records/kinds.ts";
import type {
  Damaged,
  ListedReleaseRecord,
  NewResult,
  NewStageRecord,
  SavedPhotograph,
  SavedResult,
  SavedStageRecord,
} from "#api/records/records.ts";
import { patched, withoutUndefined } from "#api/records/withoutUndefined.ts";
import type { ReportInputs } from "#api/report/buildReport.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesOf, withIds } from "#api/store/ledger/entries.ts";
import { append, type ChangeContext, type Written } from "#api/store/ledger/ledger.ts";
import type { LabKey } from "#api/store/signing/labKey.ts";
import type { Stage } from "#model/lot/stages.ts";
import { only } from "./only.ts";
import { listed } from "./releases.ts";
import { reportInputs } from "./reportInputs.ts";
import { stageOf } from "./stageOfLot.ts";

/** All about a lot beside its runs: how its stages were made, what else was found, and what was released. */
export function makeCard(db: Kysely<Tables>, clock: () => Date, key: LabKey | null) {
  const change = (occasion: ChangeContext, work: Parameters<typeof append>[3]) =>
    append(db, clock, occasion, work);
  return {
    /** All that a sheet of the lot rests on; null when there is no such lot. @throws DamagedEntry */
    onSheet: (lotId: number, stage: Stage | null = null): Promise<ReportInputs | null> =>
      reportInputs(db, clock, lotId, stage),

    async card(lotId: number): Promise<{
      stages: SavedStageRecord[];
      results: SavedResult[];
      photographs: SavedPhotograph[];
      released: ListedReleaseRecord[];
      damaged: readonly Damaged[];
    }> {
      const stages = await entriesOf(db, "stage", lotId);
      const results = await entriesOf(db, "result", lotId);
      const photographs = await entriesOf(db, "photograph", lotId);
      const released = await entriesOf(db, "frozen", lotId);
      return {
        stages: withIds(stages.kept),
        results: withIds(results.kept),
        photographs: withIds(photographs.kept),
        released: released.kept.map((one) => listed(one, key)),
        damaged: [...stages.damaged, ...results.damaged, ...photographs.damaged, ...released.damaged],
      };
    },

    /** Settings and note of a stage; both empty takes them off the card. */
    keepStage: (
      { lotId, stage: at }: { readonly lotId: number; readonly stage: Stage },
      entered: NewStageRecord,
      expected: number | null,
      occasion: ChangeContext,
    ): Promise<Written> =>
      change(occasion, async (writer) => {
        const lot = await writer.read("lot", lotId);
        const stage = await stageOf(writer.tx, lot.material, at);
        const all = await entriesOf(writer.tx, "stage", lotId);
        const now = all.kept.find((s) => s.body.stage === stage);
        const noted = withoutUndefined({
          kind: patched(now?.body.kind, entered.kind),
          date: patched(now?.body.date, entered.date),
          massInG: patched(now?.body.massInG, entered.massInG),
          massOutG: patched(now?.body.massOutG, entered.massOutG),
          weighed: patched(now?.body.weighed, entered.weighed),
        });
        const { settings, note } = entered;
        const isNothing = settings.length === 0 && note === "" && Object.keys(noted).length === 0;
        const body = isNothing ? null : { lotId, stage, settings, note, ...noted };
        await only(writer, "stage", { now: now ?? null, expected }, body);
        return { what: `noted settings of ${stage} of lot "${lot.name}"` };
      }),

    keepResult: (lotId: number, result: NewResult, occasion: ChangeContext): Promise<Written> =>
      change(occasion, async (writer) => {
        const lot = await writer.read("lot", lotId);
        const stage = await resultStage(writer.tx, lot, result);
        const body = { lotId, ...resultToKeep({ ...result, stage }, null) };
        await writer.make("result", body);
        return { what: `noted ${kinds.result.title(body)} of lot "${lot.name}"` };
      }),

    changeResult: (
      id: number,
      result: NewResult,
      expected: number | null,
      occasion: ChangeContext,
    ): Promise<Written> =>
      change(occasion, async (writer) => {
        const { lotId } = await writer.read("result", id);
        const stage = await resultStage(writer.tx, await writer.read("lot", lotId), result);
        const was = await writer.change("result", id, expected, (now) => ({
          lotId,
          ...resultToKeep({ ...result, stage }, now),
        }));
        return { what: `changed ${kinds.result.title(was)}` };
      }),

    removeResult: (id: number, expected: number | null, occasion: ChangeContext): Promise<Written> =>
      change(occasion, async (writer) => ({
        what: `deleted ${kinds.result.title(await writer.remove("result", id, expected))}`,
      })),
  };
}

/** The stage a result was found on, by the word given; null where it is about the lot as a whole. */
async function resultStage(
  db: Kysely<Tables>,
  { material }: Pick<Bodies["lot"], "material">,
  { stage }: Pick<NewResult, "stage">,
): Promise<Stage | null> {
  return stage === null ? null : stageOf(db, material, stage);
}

function resultToKeep({ date, method, ...entered }: NewResult, was: Bodies["result"] | null) {
  return {
    ...entered,
    ...withoutUndefined({ date: patched(was?.date, date), method: patched(was?.method, method) }),
  };
}
