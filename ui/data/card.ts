import type {
  Damaged,
  ListedReleaseRecord,
  NewResult,
  SavedResult,
  SavedStageRecord,
  ShownReleaseRecord,
  StageSetting,
} from "#api/records/records.ts";
import type { Stage } from "#model/lot/stages.ts";
import { ask, attempt, changeEntry, noteOnly } from "./client.ts";
import { loadAll } from "./entries.ts";

/** What a lot's card says beside its runs. */
export interface Card {
  readonly stages: readonly SavedStageRecord[];
  readonly results: readonly SavedResult[];
  readonly frozen: readonly ListedReleaseRecord[];
  readonly damaged: readonly Damaged[];
}

export const fetchCard = (lotId: number): Promise<Card> => ask(`api/lots/${lotId}/card`);
export const fetchReleaseRecords = (id: number): Promise<ShownReleaseRecord> => ask(`api/frozen/${id}`);

/** @param kept  the settings as last seen; null when none were noted yet */
export function saveStage(
  lotId: number,
  stage: Stage,
  told: { readonly settings: readonly StageSetting[]; readonly note: string },
  kept: SavedStageRecord | null,
): Promise<boolean> {
  return noteOnly(`api/lots/${lotId}/stages/${stage}`, told, kept, loadAll);
}

/** Notes a new result, or one that was mended. */
export function saveResult(lotId: number, result: NewResult, kept: SavedResult | null): Promise<boolean> {
  if (kept !== null) return changeEntry(`api/results/${kept.id}`, result, kept.version, loadAll);
  return attempt(async () => {
    await ask(`api/lots/${lotId}/results`, { method: "POST", body: result });
    await loadAll();
  });
}

export function release(lotId: number, stage: Stage, name: string, note: string): Promise<boolean> {
  return attempt(async () => {
    await ask(`api/lots/${lotId}/frozen`, { method: "POST", body: { stage, name, note } });
    await loadAll();
  });
}
