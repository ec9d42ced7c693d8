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
} from "#api/records/records.ts";
import { manyOf, place } from "./address.ts";
import { loadHistory } from "./changeHistory.ts";
import { ask, attempt } from "./client.ts";

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
export async function wholeLot(id: number): Promise<WholeLot | null> {
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
