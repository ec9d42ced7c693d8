import { signal } from "@preact/signals";
import type {
  KeptBand,
  KeptLot,
  KeptMeasurement,
  KeptMill,
  KeptPair,
  KeptTrial,
  NewLot,
} from "#api/records.ts";
import type { Problem } from "#distributions/problem.ts";
import type { ReadingOptions } from "#distributions/tables/readingOptions.ts";
import type { Band } from "#model/band/band.ts";
import type { Mill } from "#model/mill/mill.ts";
import type { Stage } from "#model/stages.ts";
import type { BetPair } from "#model/surface/bet.ts";

/** What the server keeps, as last seen. */
export const lots = signal<readonly KeptLot[]>([]);
export const measurements = signal<ReadonlyMap<number, readonly KeptMeasurement[]>>(new Map());
export const bands = signal<readonly KeptBand[]>([]);
export const mills = signal<readonly KeptMill[]>([]);
export const trials = signal<readonly KeptTrial[]>([]);
export const pairs = signal<readonly KeptPair[]>([]);

/** Why the server could not be asked; null while all is well. */
export const trouble = signal<string | null>(null);
export const isLoaded = signal(false);

async function ask<T>(path: string, method = "GET", body?: unknown): Promise<T> {
  const response = await fetch(path, {
    method,
    ...(body === undefined
      ? {}
      : { headers: { "content-type": "application/json" }, body: JSON.stringify(body) }),
  });
  const answer = await response.json();
  if (!response.ok && answer.problems === undefined)
    throw new Error(answer.detail ?? `The server answered ${response.status}.`);
  return answer;
}

async function attempt(work: () => Promise<void>): Promise<boolean> {
  try {
    await work();
    trouble.value = null;
    return true;
  } catch (fault) {
    trouble.value = fault instanceof Error ? fault.message : String(fault);
    return false;
  }
}

export function loadAll(): Promise<boolean> {
  return attempt(async () => {
    const [l, b, m, p] = await Promise.all([
      ask<{ lots: KeptLot[] }>("api/lots"),
      ask<{ bands: KeptBand[] }>("api/bands"),
      ask<{ mills: KeptMill[] }>("api/mills"),
      ask<{ pairs: KeptPair[] }>("api/pairs"),
    ]);
    lots.value = l.lots;
    bands.value = b.bands;
    mills.value = m.mills;
    pairs.value = p.pairs;
    const [mill] = m.mills;
    if (mill !== undefined)
      trials.value = (await ask<{ trials: KeptTrial[] }>(`api/mills/${mill.id}/trials`)).trials;
    const whole = await Promise.all(
      l.lots.map((lot) => ask<{ measurements: KeptMeasurement[] }>(`api/lots/${lot.id}`)),
    );
    measurements.value = new Map(l.lots.map((lot, i) => [lot.id, whole[i]?.measurements ?? []]));
    isLoaded.value = true;
  });
}

/** Keeps a new lot and tells its number. */
export async function keepLot(lot: NewLot): Promise<number | null> {
  let id: number | null = null;
  await attempt(async () => {
    id = (await ask<{ lot: KeptLot }>("api/lots", "POST", lot)).lot.id;
    await loadAll();
  });
  return id;
}

export async function bringInto(
  lotId: number,
  stage: Stage,
  table: { file: string | null; text: string; options: ReadingOptions },
): Promise<readonly Problem[] | null> {
  let problems: readonly Problem[] | null = null;
  const { inClass, firstEdgeUm, only, ...words } = table.options;
  const options = {
    ...words,
    ...(inClass === undefined ? {} : { inClass }),
    ...(firstEdgeUm === undefined ? {} : { firstEdgeUm }),
    ...(only === undefined ? {} : { only }),
  };
  await attempt(async () => {
    const answer = await ask<{ kept: number; problems: Problem[] }>(
      `api/lots/${lotId}/measurements`,
      "POST",
      { stage, file: table.file, text: table.text, options },
    );
    problems = answer.kept > 0 ? null : answer.problems;
    await loadAll();
  });
  return problems;
}

export function keepBand(band: Band, id: number | null): Promise<boolean> {
  return attempt(async () => {
    await ask(id === null ? "api/bands" : `api/bands/${id}`, id === null ? "POST" : "PUT", band);
    await loadAll();
  });
}

export function changeMill(id: number, name: string, mill: Mill): Promise<boolean> {
  return attempt(async () => {
    await ask(`api/mills/${id}`, "PUT", { name, mill });
    await loadAll();
  });
}

/** Keeps trials, all or none. */
export function keepTrials(
  millId: number,
  trials: readonly Omit<KeptTrial, "id" | "millId">[],
): Promise<boolean> {
  return attempt(async () => {
    await ask(`api/mills/${millId}/trials`, "POST", { trials });
    await loadAll();
  });
}

export function keepPair(pair: BetPair): Promise<boolean> {
  return attempt(async () => {
    await ask("api/pairs", "POST", pair);
    await loadAll();
  });
}
