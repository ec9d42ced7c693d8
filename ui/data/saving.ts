import type {
  NewLot,
  NewTrial,
  SavedBand,
  SavedLot,
  SavedMeasurement,
  SavedMill,
  SavedPair,
  SavedTrial,
} from "#api/records/records.ts";
import type { PartialMetadata } from "#distributions/measurementMetadata.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import type { Band } from "#model/band/band.ts";
import type { Stage } from "#model/lot/stages.ts";
import type { Mill } from "#model/mill/mill.ts";
import type { Trial } from "#model/mill/trials/trial.ts";
import type { BetPair } from "#model/surface/bet.ts";
import { base64Of } from "./base64.ts";
import { ask, attempt, changeEntry } from "./client.ts";
import { loadAll } from "./entries.ts";
import { lot } from "./selection.ts";

// What changes what is kept. Each change is told to the server and then everything is fetched anew.

export const thenLoaded = (work: () => Promise<unknown>): Promise<boolean> =>
  attempt(async () => {
    await work();
    await loadAll();
  });

/** Keeps a new lot and tells its number. */
export async function saveLot(lot: NewLot): Promise<number | null> {
  let id: number | null = null;
  await attempt(async () => {
    id = (await ask("POST /api/lots", { body: lot })).lot.id;
    await loadAll();
  });
  return id;
}

export function changeLot(lot: SavedLot, to: NewLot): Promise<boolean> {
  const { id, version } = lot;
  return changeEntry("PUT /api/lots/{id}", { params: { id }, body: to, version }, loadAll);
}

/** Saves what is read of a table; what went wrong is said. What is saved is fetched anew by whoever has saved the last. */
export function importInto(
  lotId: number,
  stage: Stage,
  table: { file: string | null; text: string; bytes: Uint8Array | null; options: ReadingOptions },
  howMeasured: PartialMetadata,
): Promise<boolean> {
  const { file, text, bytes, options } = table;
  const { only, ...others } = options;
  return attempt(async () => {
    const answer = await ask("POST /api/lots/{id}/measurements", {
      params: { id: lotId },
      body: {
        stage,
        file,
        ...(bytes === null ? { text } : { base64: await base64Of(bytes) }),
        options: { ...others, ...(only === undefined ? {} : { only: [...only] }) },
        howMeasured,
      },
    });
    if (answer.kept === 0) throw new Error(answer.problems.map((p) => p.message).join(" "));
  });
}

/** Lays what is told of how they were measured over what these runs state. */
export function saveMetadata(
  runs: readonly SavedMeasurement[],
  howMeasured: PartialMetadata,
): Promise<boolean> {
  const asSeen = runs.map(({ id, version }) => ({ id, version }));
  return thenLoaded(() => ask("POST /api/how-measured", { body: { runs: asSeen, howMeasured } }));
}

export function changeRun(
  run: SavedMeasurement,
  to: { readonly name?: string; readonly stage?: Stage; readonly exclusionReason?: string | null },
): Promise<boolean> {
  const { id, version, name, stage, exclusionReason } = run;
  const body = { name, stage, exclusionReason, ...to };
  const why = to.exclusionReason ?? "";
  return changeEntry("PUT /api/measurements/{id}", { params: { id }, body, version, why }, loadAll);
}

/** Keeps a new band, or one that was changed. */
export function saveBand(band: Band, kept: SavedBand | null): Promise<boolean> {
  if (kept === null) return thenLoaded(() => ask("POST /api/bands", { body: band }));
  const { id, version } = kept;
  return changeEntry("PUT /api/bands/{id}", { params: { id }, body: band, version }, loadAll);
}

export function saveMill(name: string, mill: Mill): Promise<boolean> {
  return thenLoaded(() => ask("POST /api/mills", { body: { name, mill } }));
}

export function changeMill({ id, version }: SavedMill, name: string, mill: Mill): Promise<boolean> {
  return changeEntry("PUT /api/mills/{id}", { params: { id }, body: { name, mill }, version }, loadAll);
}

/** Keeps trials, all or none. They are of the material that is looked at, whose trials stand beside them. */
export function saveTrials(
  millId: number,
  trials: readonly Omit<NewTrial, "exclusionReason">[],
): Promise<boolean> {
  const materialId = lot.value?.materialId ?? null;
  const body = { trials: trials.map((trial) => ({ materialId, ...trial })) };
  return thenLoaded(() => ask("POST /api/mills/{id}/trials", { params: { id: millId }, body }));
}

export function changeTrial(
  kept: SavedTrial,
  to: Partial<Pick<NewTrial, "name" | "trial" | "exclusionReason" | "materialId">>,
): Promise<boolean> {
  const { id, version, name, trial, curve, exclusionReason } = kept;
  const body = { name, trial, curve, exclusionReason, ...to };
  const why = to.exclusionReason ?? "";
  return changeEntry("PUT /api/trials/{id}", { params: { id }, body, version, why }, loadAll);
}

/** Several trials changed together, each saved once and all fetched anew at the end. @returns whether all were saved */
export async function changeTrials(
  changed: readonly { readonly kept: SavedTrial; readonly name: string; readonly trial: Trial }[],
): Promise<boolean> {
  for (const [i, { kept, name, trial }] of changed.entries()) {
    const { id, version, curve, exclusionReason } = kept;
    const body = { name, trial, curve, exclusionReason };
    const then = i === changed.length - 1 ? loadAll : () => Promise.resolve();
    if (!(await changeEntry("PUT /api/trials/{id}", { params: { id }, body, version }, then))) {
      await loadAll();
      return false;
    }
  }
  return true;
}

export function savePair(pair: BetPair): Promise<boolean> {
  return thenLoaded(() => ask("POST /api/pairs", { body: pair }));
}

export function changePair({ id, version }: SavedPair, pair: BetPair): Promise<boolean> {
  return changeEntry("PUT /api/pairs/{id}", { params: { id }, body: pair, version }, loadAll);
}

/** Deletes an entry as it was last seen; undo brings it back. */
export function remove(
  list:
    | "lots"
    | "bands"
    | "mills"
    | "trials"
    | "pairs"
    | "results"
    | "photographs"
    | "pressure-mills"
    | "balances",
  { id, version }: { readonly id: number; readonly version: number },
  why: string,
): Promise<boolean> {
  return thenLoaded(() => ask(`DELETE /api/${list}/{id}`, { params: { id }, version, why }));
}
