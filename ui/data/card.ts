import type { Contract } from "#api/contract/contract.ts";
import type { NewResult, NewStageRecord, SavedResult, SavedStageRecord } from "#api/records/records.ts";
import type { Stage } from "#model/lot/stages.ts";
import { ask, attempt, changeEntry, noteOnly } from "./client.ts";
import { loadAll } from "./entries.ts";

/** What a lot's card says beside its runs. */
export type Card = Contract["GET /api/lots/{id}/card"]["answer"];

export const fetchCard = (lotId: number): Promise<Card> =>
  ask("GET /api/lots/{id}/card", { params: { id: lotId } });
export const fetchReleaseRecords = (id: number): Promise<Contract["GET /api/frozen/{id}"]["answer"]> =>
  ask("GET /api/frozen/{id}", { params: { id } });

/** @param kept  the settings as last seen; null when none were noted yet */
export function saveStage(
  lotId: number,
  stage: Stage,
  entered: NewStageRecord,
  kept: SavedStageRecord | null,
): Promise<boolean> {
  const params = { id: lotId, stage };
  return noteOnly(
    "PUT /api/lots/{id}/stages/{stage}",
    { params, body: { ...entered, settings: [...entered.settings] } },
    kept,
    loadAll,
  );
}

/** Notes a new result, or one that was corrected. */
export function saveResult(lotId: number, result: NewResult, kept: SavedResult | null): Promise<boolean> {
  if (kept !== null) {
    const { id, version } = kept;
    return changeEntry("PUT /api/results/{id}", { params: { id }, body: result, version }, loadAll);
  }
  return attempt(async () => {
    await ask("POST /api/lots/{id}/results", { params: { id: lotId }, body: result });
    await loadAll();
  });
}

export function release(lotId: number, stage: Stage, name: string, note: string): Promise<boolean> {
  return attempt(async () => {
    await ask("POST /api/lots/{id}/frozen", { params: { id: lotId }, body: { stage, name, note } });
    await loadAll();
  });
}
