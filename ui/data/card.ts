import type {
  Damaged,
  FrozenShown,
  KeptResult,
  KeptStage,
  ListedFrozen,
  NewResult,
  Setting,
} from "#api/records/records.ts";
import type { Stage } from "#model/lot/stages.ts";
import { ask, attempt, changeEntry, noteOnly } from "./client.ts";
import { loadAll } from "./entries.ts";

/** What a lot's card says beside its runs. */
export interface Card {
  readonly stages: readonly KeptStage[];
  readonly results: readonly KeptResult[];
  readonly frozen: readonly ListedFrozen[];
  readonly damaged: readonly Damaged[];
}

export const fetchCard = (lotId: number): Promise<Card> => ask(`api/lots/${lotId}/card`);
export const fetchFrozen = (id: number): Promise<FrozenShown> => ask(`api/frozen/${id}`);

/** @param kept  the settings as last seen; null when none were noted yet */
export function keepStage(
  lotId: number,
  stage: Stage,
  told: { readonly settings: readonly Setting[]; readonly note: string },
  kept: KeptStage | null,
): Promise<boolean> {
  return noteOnly(`api/lots/${lotId}/stages/${stage}`, told, kept, loadAll);
}

/** Notes a new result, or one that was mended. */
export function keepResult(lotId: number, result: NewResult, kept: KeptResult | null): Promise<boolean> {
  if (kept !== null) return changeEntry(`api/results/${kept.id}`, result, kept.version, loadAll);
  return attempt(async () => {
    await ask(`api/lots/${lotId}/results`, { method: "POST", body: result });
    await loadAll();
  });
}

export function freeze(lotId: number, stage: Stage, name: string, note: string): Promise<boolean> {
  return attempt(async () => {
    await ask(`api/lots/${lotId}/frozen`, { method: "POST", body: { stage, name, note } });
    await loadAll();
  });
}
