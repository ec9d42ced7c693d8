import { effect, signal } from "@preact/signals";
import type { Contract } from "#api/contract/contract.ts";
import type {
  Damaged,
  SavedBalance,
  SavedBand,
  SavedBatch,
  SavedLot,
  SavedMeasurement,
  SavedMill,
  SavedPair,
  SavedPressureMill,
  SavedPriors,
  SavedTrial,
} from "#api/records/records.ts";
import { address, manyOf } from "./address.ts";
import { loadHistory } from "./changeHistory.ts";
import { ask, attempt, fetchBeside } from "./client.ts";
import { lab } from "./lab.ts";
import { lastPlace, recallLastPlace } from "./lastPlace.ts";

/** What the server keeps, as last seen. Of very many lots, the first some hundreds and the one looked at. */
export const lots = signal<readonly SavedLot[]>([]);
/** How many lots there are. */
export const lotCount = signal(0);
/** The runs that count, of the lots that were looked at or teach about them. */
export const measurements = signal<ReadonlyMap<number, readonly SavedMeasurement[]>>(new Map());
/** The runs that were set aside, of the same lots. */
export const excludedRuns = signal<ReadonlyMap<number, readonly SavedMeasurement[]>>(new Map());
export const bands = signal<readonly SavedBand[]>([]);
export const mills = signal<readonly SavedMill[]>([]);
/** The trials of all mills, in the order they were saved. */
export const savedTrials = signal<readonly SavedTrial[]>([]);
export const savedPriors = signal<readonly SavedPriors[]>([]);
export const batches = signal<readonly SavedBatch[]>([]);
export const pressureMills = signal<readonly SavedPressureMill[]>([]);
export const balances = signal<readonly SavedBalance[]>([]);
export const pairs = signal<readonly SavedPair[]>([]);
/** Entries that do not match their checksum: named, never shown as numbers. */
export const damaged = signal<readonly Damaged[]>([]);

export const isLoaded = signal(false);

const maxLots = 300;
/** As many whole lots as one question may name. */
const maxAtOnce = 100;
type WholeLot = Contract["GET /api/lots/{id}"]["answer"];

export function loadAll(): Promise<boolean> {
  return attempt(async () => {
    const [l, b, m, p, be, ba, pm, bl, shown] = await Promise.all([
      ask("GET /api/lots", { query: { limit: maxLots, order: "newest" } }),
      ask("GET /api/bands", {}),
      ask("GET /api/mills", {}),
      ask("GET /api/pairs", {}),
      ask("GET /api/beliefs", {}),
      ask("GET /api/batches", {}),
      ask("GET /api/pressure-mills", {}),
      ask("GET /api/balances", {}),
      ask("GET /api/lab", {}),
      loadHistory(),
    ]);
    lab.value = shown;
    recallLastPlace();
    const tried = await Promise.all(
      m.mills.map(({ id }) => ask("GET /api/mills/{id}/trials", { params: { id } })),
    );
    // Shown in the order they were saved, whichever of very many are here.
    const listed = l.lots.toSorted((a, b) => a.id - b.id);
    const references = listed.filter((lot) => lot.stages.some((s) => s.stage === "reference"));
    // What was here stays here: an answer that rests on it is not taken away until it comes again.
    const wanted = new Set([
      ...references.map((lot) => lot.id),
      ...measurements.peek().keys(),
      ...lotsInAddress(listed),
    ]);
    const { whole, damaged: ofLots } = await wholeLots([...wanted]);
    lots.value = withLots(listed, whole);
    lotCount.value = l.total;
    takeRuns(whole, new Map(), new Map());
    bands.value = b.bands;
    mills.value = m.mills;
    savedTrials.value = tried.flatMap(({ trials }) => trials).toSorted((a, b) => a.id - b.id);
    savedPriors.value = be.savedPriors;
    batches.value = ba.batches;
    pressureMills.value = pm.pressureMills;
    balances.value = bl.balances;
    pairs.value = p.pairs;
    const lists = [l, b, m, p, ...tried, be, ba, pm, bl];
    damaged.value = [...lists.flatMap((answer) => answer.damaged), ...ofLots];
    isLoaded.value = true;
  });
}

/** Fetches the runs of the lots in the address, or of the one looked at without one, when they are not here yet. */
export function followLot(): void {
  effect(() => {
    if (isLoaded.value) void fetchRuns(lotsInAddress(lots.value));
  });
}

/** Whether the runs of all these lots have come: until then nothing is said of what they lack. */
export const areRunsHere = (ids: readonly number[]): boolean => ids.every((id) => measurements.value.has(id));

/** Fetches the runs of those of these lots that are not here yet. */
export async function fetchRuns(ids: readonly number[]): Promise<void> {
  const missing = ids.filter((id) => !measurements.value.has(id));
  if (missing.length === 0) return;
  await fetchBeside(async () => {
    const { whole, damaged: ofLots } = await wholeLots(missing);
    damaged.value = [...damaged.value, ...ofLots];
    if (whole.length === 0) return;
    lots.value = withLots(lots.value, whole);
    takeRuns(whole, measurements.value, excludedRuns.value);
  });
}

/**
 * The lot that is looked at: the one in the address, else the last looked at, else the newest of its material or of all.
 * The demo begins with its first lot, which has every stage and lies in its band.
 *
 * @param among  the lots there are, in the order they were saved
 */
export function lotToLookAt(among: readonly SavedLot[]): SavedLot | null {
  const last = lastPlace.value;
  const atFirst = lab.value?.shown === "demo" ? among[0] : among.at(-1);
  return (
    among.find((l) => l.id === address.value.lotId) ??
    among.find((l) => l.id === last?.lotId) ??
    among.findLast((l) => l.material === last?.material) ??
    atFirst ??
    null
  );
}

/** A lot that the address names may be none of those listed. */
function lotsInAddress(among: readonly SavedLot[]): number[] {
  const { lotId, againstLotId, many } = address.value;
  const looked = lotId ?? lastPlace.value?.lotId ?? lotToLookAt(among)?.id ?? null;
  return [looked, againstLotId, ...manyOf(many).map((m) => m.lotId)].filter((id) => id !== null);
}

/** Those of these lots that are there, in the order they were saved, and all that is damaged of them. */
export async function wholeLots(
  ids: readonly number[],
): Promise<{ whole: readonly WholeLot[]; damaged: readonly Damaged[] }> {
  const starts = ids.filter((_, i) => i % maxAtOnce === 0);
  const answers = await Promise.all(
    starts.map((_, i) =>
      ask("GET /api/whole-lots", {
        query: { ids: ids.slice(i * maxAtOnce, (i + 1) * maxAtOnce).join(",") },
      }),
    ),
  );
  const whole = answers.flatMap((answer) => answer.lots);
  return { whole, damaged: [...answers, ...whole].flatMap((part) => part.damaged) };
}

function withLots(listed: readonly SavedLot[], whole: readonly WholeLot[]): readonly SavedLot[] {
  const more = whole.map((w) => w.lot).filter((lot) => !listed.some((l) => l.id === lot.id));
  return more.length === 0 ? listed : [...listed, ...more];
}

type RunsByLotId = ReadonlyMap<number, readonly SavedMeasurement[]>;

function takeRuns(whole: readonly WholeLot[], counting: RunsByLotId, aside: RunsByLotId): void {
  const runsOf = (isAside: boolean) =>
    whole.map(({ lot, measurements: all }): [number, readonly SavedMeasurement[]] => [
      lot.id,
      all.filter((m) => (m.exclusionReason !== null) === isAside),
    ]);
  excludedRuns.value = new Map([...aside, ...runsOf(true)]);
  measurements.value = new Map([...counting, ...runsOf(false)]);
}

/** The lots whose name, material or note holds all these words, and how many there are. */
export function findLots(search: string, limit: number): Promise<Contract["GET /api/lots"]["answer"]> {
  return ask("GET /api/lots", { query: { limit, search } });
}
