import { effect, signal } from "@preact/signals";
import type {
  Damaged,
  KeptBalance,
  KeptBand,
  KeptBatch,
  KeptBelief,
  KeptLot,
  KeptMeasurement,
  KeptMill,
  KeptPair,
  KeptPressureMill,
  KeptTrial,
  NewLot,
} from "#api/records.ts";
import type { Told } from "#distributions/howMeasured.ts";
import type { Problem } from "#distributions/problem.ts";
import type { ReadingOptions } from "#distributions/tables/readingOptions.ts";
import type { Band } from "#model/band/band.ts";
import type { Mill } from "#model/mill/mill.ts";
import type { Trial } from "#model/mill/trials/trial.ts";
import type { Stage } from "#model/stages.ts";
import type { BetPair } from "#model/surface/bet.ts";
import { loadHistory } from "./history.ts";
import { manyOf, place } from "./place.ts";
import { ask, attempt, changeEntry } from "./server.ts";

/** What the server keeps, as last seen. Of very many lots, the first some hundreds and the one looked at. */
export const lots = signal<readonly KeptLot[]>([]);
/** How many lots there are. */
export const lotCount = signal(0);
/** The runs that count, of the lots that were looked at or lend their runs to others. */
export const measurements = signal<ReadonlyMap<number, readonly KeptMeasurement[]>>(new Map());
/** The runs that were set aside, of the same lots. */
export const asideRuns = signal<ReadonlyMap<number, readonly KeptMeasurement[]>>(new Map());
export const bands = signal<readonly KeptBand[]>([]);
export const mills = signal<readonly KeptMill[]>([]);
/** The trials that count of the mill that is planned with. */
export const trials = signal<readonly KeptTrial[]>([]);
/** Those that were set aside. */
export const asideTrials = signal<readonly KeptTrial[]>([]);
export const beliefs = signal<readonly KeptBelief[]>([]);
export const batches = signal<readonly KeptBatch[]>([]);
export const pressureMills = signal<readonly KeptPressureMill[]>([]);
export const balances = signal<readonly KeptBalance[]>([]);
export const pairs = signal<readonly KeptPair[]>([]);
/** Entries that do not match their checksum: named, never shown as numbers. */
export const damaged = signal<readonly Damaged[]>([]);

export const isLoaded = signal(false);

const mostLots = 300;
/** So many other lots lend their runs to the pooled scatter. */
const mostLenders = 20;

interface WholeLot {
  readonly lot: KeptLot;
  readonly measurements: readonly KeptMeasurement[];
  readonly damaged: readonly Damaged[];
}
type Listed<Name extends string, T> = { readonly [N in Name]: readonly T[] } & {
  readonly damaged: readonly Damaged[];
};

export function loadAll(): Promise<boolean> {
  return attempt(async () => {
    const [l, b, m, p, be, ba, pm, bl] = await Promise.all([
      ask<Listed<"lots", KeptLot> & { total: number }>(`api/lots?limit=${mostLots}`),
      ask<Listed<"bands", KeptBand>>("api/bands"),
      ask<Listed<"mills", KeptMill>>("api/mills"),
      ask<Listed<"pairs", KeptPair>>("api/pairs"),
      ask<Listed<"beliefs", KeptBelief>>("api/beliefs"),
      ask<Listed<"batches", KeptBatch>>("api/batches"),
      ask<Listed<"pressureMills", KeptPressureMill>>("api/pressure-mills"),
      ask<Listed<"balances", KeptBalance>>("api/balances"),
      loadHistory(),
    ]);
    const [mill] = m.mills;
    const t =
      mill === undefined
        ? { trials: [], damaged: [] }
        : await ask<Listed<"trials", KeptTrial>>(`api/mills/${mill.id}/trials`);
    const references = l.lots.filter((lot) => lot.stages.some((s) => s.stage === "reference"));
    const wanted = new Set([...l.lots.slice(0, mostLenders), ...references].map((lot) => lot.id));
    for (const id of lotsInAddress()) wanted.add(id);
    const whole = (await Promise.all([...wanted].map(wholeLot))).filter((lot) => lot !== null);
    lots.value = withLots(l.lots, whole);
    lotCount.value = l.total;
    takeRuns(whole, new Map(), new Map());
    bands.value = b.bands;
    mills.value = m.mills;
    trials.value = t.trials.filter((trial) => trial.asideBecause === null);
    asideTrials.value = t.trials.filter((trial) => trial.asideBecause !== null);
    beliefs.value = be.beliefs;
    batches.value = ba.batches;
    pressureMills.value = pm.pressureMills;
    balances.value = bl.balances;
    pairs.value = p.pairs;
    damaged.value = [l, b, m, p, t, be, ba, pm, bl, ...whole].flatMap((answer) => answer.damaged);
    isLoaded.value = true;
  });
}

/** Fetches the runs of the lots in the address when they are not here yet. */
export function followLot(): void {
  effect(() => {
    const missing = lotsInAddress().filter((id) => !measurements.value.has(id));
    if (!isLoaded.value || missing.length === 0) return;
    void attempt(async () => {
      const whole = (await Promise.all(missing.map(wholeLot))).filter((lot) => lot !== null);
      if (whole.length === 0) return;
      lots.value = withLots(lots.value, whole);
      takeRuns(whole, measurements.value, asideRuns.value);
      damaged.value = [...damaged.value, ...whole.flatMap((lot) => lot.damaged)];
    });
  });
}

function lotsInAddress(): number[] {
  const many = manyOf(place.value.many).map((m) => m.lotId);
  return [place.value.lotId, place.value.againstLotId, ...many].filter((id) => id !== null);
}

/** Null when there is no such lot, or no longer. */
async function wholeLot(id: number): Promise<WholeLot | null> {
  const response = await fetch(`api/lots/${id}`);
  if (response.status === 404) return null;
  const answer = await response.json();
  if (response.ok) return answer;
  const message: string = answer.detail ?? `The server answered ${response.status}.`;
  damaged.value = [...damaged.value, { kind: "lot", id, message }];
  return null;
}

function withLots(listed: readonly KeptLot[], whole: readonly WholeLot[]): KeptLot[] {
  const more = whole.map((w) => w.lot).filter((lot) => !listed.some((l) => l.id === lot.id));
  return [...listed, ...more];
}

type Runs = ReadonlyMap<number, readonly KeptMeasurement[]>;

function takeRuns(whole: readonly WholeLot[], counting: Runs, aside: Runs): void {
  const runsOf = (isAside: boolean) =>
    whole.map(({ lot, measurements: all }): [number, readonly KeptMeasurement[]] => [
      lot.id,
      all.filter((m) => (m.asideBecause !== null) === isAside),
    ]);
  asideRuns.value = new Map([...aside, ...runsOf(true)]);
  measurements.value = new Map([...counting, ...runsOf(false)]);
}

/** The lots whose name, material or note holds all these words, and how many there are. */
export function findLots(
  search: string,
  limit: number,
): Promise<Listed<"lots", KeptLot> & { total: number }> {
  return ask(`api/lots?limit=${limit}&search=${encodeURIComponent(search)}`);
}

/** Keeps a new lot and tells its number. */
export async function keepLot(lot: NewLot): Promise<number | null> {
  let id: number | null = null;
  await attempt(async () => {
    id = (await ask<{ lot: KeptLot }>("api/lots", { method: "POST", body: lot })).lot.id;
    await loadAll();
  });
  return id;
}

export function changeLot(lot: KeptLot, to: NewLot): Promise<boolean> {
  return changeEntry(`api/lots/${lot.id}`, to, lot.version, loadAll);
}

/** Keeps what is read of a table; what went wrong is said. */
export function bringInto(
  lotId: number,
  stage: Stage,
  table: { file: string | null; text: string; bytes: Uint8Array | null; options: ReadingOptions },
  howMeasured: Told,
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
export function noteHowMeasured(runs: readonly KeptMeasurement[], howMeasured: Told): Promise<boolean> {
  return attempt(async () => {
    const asSeen = runs.map(({ id, version }) => ({ id, version }));
    await ask("api/how-measured", { method: "POST", body: { runs: asSeen, howMeasured } });
    await loadAll();
  });
}

export function changeRun(
  run: KeptMeasurement,
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
export function keepBand(band: Band, kept: KeptBand | null): Promise<boolean> {
  return kept === null
    ? attempt(async () => {
        await ask("api/bands", { method: "POST", body: band });
        await loadAll();
      })
    : changeEntry(`api/bands/${kept.id}`, band, kept.version, loadAll);
}

export function keepMill(name: string, mill: Mill): Promise<boolean> {
  return attempt(async () => {
    await ask("api/mills", { method: "POST", body: { name, mill } });
    await loadAll();
  });
}

export function changeMill(kept: KeptMill, name: string, mill: Mill): Promise<boolean> {
  return changeEntry(`api/mills/${kept.id}`, { name, mill }, kept.version, loadAll);
}

/** Keeps trials, all or none. */
export function keepTrials(
  millId: number,
  trials: readonly Omit<KeptTrial, "id" | "version" | "millId" | "asideBecause">[],
): Promise<boolean> {
  return attempt(async () => {
    await ask(`api/mills/${millId}/trials`, { method: "POST", body: { trials } });
    await loadAll();
  });
}

export function changeTrial(
  kept: KeptTrial,
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

export function keepPair(pair: BetPair): Promise<boolean> {
  return attempt(async () => {
    await ask("api/pairs", { method: "POST", body: pair });
    await loadAll();
  });
}

export function changePair(kept: KeptPair, pair: BetPair): Promise<boolean> {
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
