import type {
  NewLot,
  SavedBand,
  SavedLot,
  SavedMeasurement,
  SavedMill,
  SavedPair,
  SavedTrial,
} from "#api/records/records.ts";
import type { PartialMetadata } from "#distributions/measurementMetadata.ts";
import type { Problem } from "#distributions/problem.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import type { Band } from "#model/band/band.ts";
import type { Stage } from "#model/lot/stages.ts";
import type { Mill } from "#model/mill/mill.ts";
import type { Trial } from "#model/mill/trials/trial.ts";
import type { BetPair } from "#model/surface/bet.ts";
import { ask, attempt, changeEntry } from "./client.ts";
import { loadAll } from "./entries.ts";

// What changes what is kept. Each change is told to the server and then everything is fetched anew.

/** Keeps a new lot and tells its number. */
export async function saveLot(lot: NewLot): Promise<number | null> {
  let id: number | null = null;
  await attempt(async () => {
    id = (await ask<{ lot: SavedLot }>("api/lots", { method: "POST", body: lot })).lot.id;
    await loadAll();
  });
  return id;
}

export function changeLot(lot: SavedLot, to: NewLot): Promise<boolean> {
  return changeEntry(`api/lots/${lot.id}`, to, lot.version, loadAll);
}

/** Keeps what is read of a table; what went wrong is said. */
export function importInto(
  lotId: number,
  stage: Stage,
  table: { file: string | null; text: string; bytes: Uint8Array | null; options: ReadingOptions },
  howMeasured: PartialMetadata,
): Promise<boolean> {
  const { inClass, firstEdgeUm, only, ...words } = table.options;
  const options = {
    ...words,
    ...(inClass === undefined ? {} : { inClass }),
    ...(firstEdgeUm === undefined ? {} : { firstEdgeUm }),
    ...(only === undefined ? {} : { only }),
  };
  return attempt(async () => {
    const answer = await ask<{ kept: number; problems: Problem[] }>(`api/lots/${lotId}/measurements`, {
      method: "POST",
      body: {
        stage,
        file: table.file,
        ...(table.bytes === null ? { text: table.text } : { base64: await base64Of(table.bytes) }),
        options,
        howMeasured,
      },
    });
    if (answer.kept === 0) throw new Error(answer.problems.map((p) => p.message).join(" "));
    await loadAll();
  });
}

/** Bytes as a request can carry them; the browser itself turns even large ones quickly. */
function base64Of(bytes: Uint8Array): Promise<string> {
  return new Promise((resolve, reject) => {
    const reader = new FileReader();
    reader.onload = () => resolve(String(reader.result).replace(/^[^,]*,/, ""));
    reader.onerror = () => reject(new Error("The file can no longer be read; choose it again."));
    reader.readAsDataURL(new Blob([new Uint8Array(bytes)]));
  });
}

/** Lays what is told of how they were measured over what these runs state. */
export function saveMetadata(
  runs: readonly SavedMeasurement[],
  howMeasured: PartialMetadata,
): Promise<boolean> {
  return attempt(async () => {
    const asSeen = runs.map(({ id, version }) => ({ id, version }));
    await ask("api/how-measured", { method: "POST", body: { runs: asSeen, howMeasured } });
    await loadAll();
  });
}

export function changeRun(
  run: SavedMeasurement,
  to: { readonly name?: string; readonly stage?: Stage; readonly asideBecause?: string | null },
): Promise<boolean> {
  const { name, stage, asideBecause } = run;
  return changeEntry(
    `api/measurements/${run.id}`,
    { name, stage, asideBecause, ...to },
    run.version,
    loadAll,
    to.asideBecause ?? "",
  );
}

/** Keeps a new band, or one that was changed. */
export function saveBand(band: Band, kept: SavedBand | null): Promise<boolean> {
  return kept === null
    ? attempt(async () => {
        await ask("api/bands", { method: "POST", body: band });
        await loadAll();
      })
    : changeEntry(`api/bands/${kept.id}`, band, kept.version, loadAll);
}

export function saveMill(name: string, mill: Mill): Promise<boolean> {
  return attempt(async () => {
    await ask("api/mills", { method: "POST", body: { name, mill } });
    await loadAll();
  });
}

export function changeMill(kept: SavedMill, name: string, mill: Mill): Promise<boolean> {
  return changeEntry(`api/mills/${kept.id}`, { name, mill }, kept.version, loadAll);
}

/** Keeps trials, all or none. */
export function saveTrials(
  millId: number,
  trials: readonly Omit<SavedTrial, "id" | "version" | "millId" | "asideBecause">[],
): Promise<boolean> {
  return attempt(async () => {
    await ask(`api/mills/${millId}/trials`, { method: "POST", body: { trials } });
    await loadAll();
  });
}

export function changeTrial(
  kept: SavedTrial,
  to: { readonly name?: string; readonly trial?: Trial; readonly asideBecause?: string | null },
): Promise<boolean> {
  const { name, trial, curve, asideBecause } = kept;
  return changeEntry(
    `api/trials/${kept.id}`,
    { name, trial, curve, asideBecause, ...to },
    kept.version,
    loadAll,
    to.asideBecause ?? "",
  );
}

export function savePair(pair: BetPair): Promise<boolean> {
  return attempt(async () => {
    await ask("api/pairs", { method: "POST", body: pair });
    await loadAll();
  });
}

export function changePair(kept: SavedPair, pair: BetPair): Promise<boolean> {
  return changeEntry(`api/pairs/${kept.id}`, pair, kept.version, loadAll);
}

/** Deletes an entry as it was last seen; undo brings it back. */
export function remove(
  list: "lots" | "bands" | "mills" | "trials" | "pairs" | "results" | "pressure-mills" | "balances",
  kept: { readonly id: number; readonly version: number },
  why: string,
): Promise<boolean> {
  return attempt(async () => {
    await ask(`api/${list}/${kept.id}`, { method: "DELETE", version: kept.version, why });
    await loadAll();
  });
}
