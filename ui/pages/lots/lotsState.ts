import { computed, effect, signal } from "@preact/signals";
import type { Contract } from "#api/contract/contract.ts";
import type { SavedLot } from "#api/records/records.ts";
import type { LotStanding } from "#model/answers/lot/standing.ts";
import type { Band } from "#model/band/band.ts";
import { ask } from "#ui/data/client.ts";
import { lots } from "#ui/data/entries.ts";
import { bandFor } from "#ui/data/selection.ts";

type ListedLot = Contract["GET /api/lots"]["answer"]["lots"][number];

/** A lot as a line of the list: what the server worked out of it. What is null is not known, or not here yet. */
export interface LotLine {
  readonly lot: SavedLot;
  readonly band: Band | null;
  readonly isHere: boolean;
  /** Whether something that it rests on has changed since it was worked out. */
  readonly isStale: boolean;
  readonly standing: LotStanding | null;
  readonly areaM2PerG: number | null;
  readonly bet: { readonly value: number; readonly isPredicted: boolean; readonly range: string } | null;
  /** The day it was made, else measured, else saved. */
  readonly day: string;
  readonly dayOf: "made" | "measured" | "saved";
}

/** As many lines as are shown at most. */
const maxLines = 300;
const firstWaitMs = 700;
const longestWaitMs = 20_000;

/** The newest lots as the server lists them, by id; empty until they are here. */
const listed = signal<ReadonlyMap<number, ListedLot>>(new Map());

/** Asks for the list anew at each change of what is saved, and while the server is still working something out. */
export function followLines(): () => void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  let round = 0;
  const read = async (mine: number, waitMs: number) => {
    const found = await ask("GET /api/lots", {
      query: { limit: maxLines, order: "newest", with: "standing" },
    }).catch(() => null);
    if (mine !== round) return;
    if (found !== null) listed.value = new Map(found.lots.map((lot) => [lot.id, lot]));
    if (found === null || found.lots.some(isAwaited))
      timer = setTimeout(() => void read(mine, Math.min(2 * waitMs, longestWaitMs)), waitMs);
  };
  const stop = effect(() => {
    // Read so that every change asks anew.
    void lots.value;
    clearTimeout(timer);
    void read(++round, firstWaitMs);
  });
  return () => {
    round++;
    clearTimeout(timer);
    stop();
  };
}

/** Whether the server has yet to work out how a lot stands, or is about to do so anew. */
function isAwaited({ stages, summary }: ListedLot): boolean {
  return stages.length > 0 && (summary === null || summary.stale);
}

/** The newest lots, each with how it stands, the oldest first. */
export const lotLines = computed<readonly LotLine[]>(() => linesOf(lots.value, listed.value));

/** The lots that hold these words, wherever among all they stand. */
export async function linesWith(search: string): Promise<readonly LotLine[]> {
  const found = await ask("GET /api/lots", {
    query: { limit: maxLines, search, sort: "day", with: "standing" },
  });
  return linesOf(found.lots, new Map(found.lots.map((lot) => [lot.id, lot])));
}

/** A bought reference is none of the line's lots. */
function linesOf(all: readonly SavedLot[], here: ReadonlyMap<number, ListedLot>): readonly LotLine[] {
  return all
    .filter((lot) => lot.stages.every(({ stage }) => stage !== "reference") || lot.stages.length > 1)
    .map((lot) => lineOf(lot, here.get(lot.id)))
    .toSorted((a, b) => a.day.localeCompare(b.day) || a.lot.id - b.lot.id);
}

function lineOf(lot: SavedLot, found: ListedLot | undefined): LotLine {
  const summary = found?.summary ?? null;
  const measuredOn = summary?.standing?.measuredOn ?? null;
  return {
    lot,
    band: bandFor(lot)?.band ?? null,
    isHere: found !== undefined || lot.stages.length === 0,
    isStale: summary?.stale === true,
    standing: summary === null ? null : standingIn(summary),
    areaM2PerG: summary?.areaM2PerG?.value ?? null,
    bet: summary === null ? null : betIn(summary),
    day: lot.dateMade ?? measuredOn ?? lot.keptAt,
    dayOf: lot.dateMade !== null ? "made" : measuredOn !== null ? "measured" : "saved",
  };
}

type Summary = NonNullable<ListedLot["summary"]>;

function standingIn({ stage, isFinal, verdict, standing, d10Um, d50Um, d90Um }: Summary): LotStanding {
  const sizesUm = [d10Um, d50Um, d90Um].map((size) => size?.value ?? null);
  // What an earlier version worked out says how the lot stands, and not yet by which limits.
  const known = standing ?? { verdict: isFinal ? verdict : null, reason: "", rows: [], isPredicted: false };
  const { reason, rows, isPredicted } = known;
  return { stage, verdict: known.verdict, reason, rows, isPredicted, sizesUm };
}

function betIn({ betM2PerG }: Summary): LotLine["bet"] {
  if (betM2PerG === null) return null;
  const { value, low, high, is } = betM2PerG;
  const range = low === null || high === null ? "" : `${low.toPrecision(2)}–${high.toPrecision(2)}`;
  return { value, isPredicted: is === "predicted", range };
}
