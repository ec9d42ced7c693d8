import { computed, effect, signal } from "@preact/signals";
import type { SavedLot, SavedMeasurement } from "#api/records/records.ts";
import { curveOf, meanCurve } from "#distributions/curve.ts";
import { type LotStanding, standingOf } from "#model/answers/lot/standing.ts";
import { stageSurface } from "#model/answers/surface/stageSurface.ts";
import type { Band } from "#model/band/band.ts";
import { ofMaterial } from "#model/lot/material.ts";
import { pairOfCurves } from "#model/mill/prediction/refiredCurve.ts";
import { growthByPercent } from "#model/mill/prediction/refiringGrowth.ts";
import { type Card, fetchCard } from "#ui/data/card.ts";
import { lots, measurements, wholeLot } from "#ui/data/entries.ts";
import { bandFor, ownPairs } from "#ui/data/selection.ts";

/** A lot as a line of the list. What is null is not known, or not here yet. */
export interface LotLine {
  readonly lot: SavedLot;
  readonly band: Band | null;
  readonly isHere: boolean;
  readonly standing: LotStanding | null;
  readonly areaM2PerG: number | null;
  readonly bet: { readonly value: number; readonly isPredicted: boolean; readonly range: string } | null;
  /** The day it was made, else measured, else saved. */
  readonly day: string;
  readonly dayOf: "made" | "measured" | "saved";
}

interface Fetched {
  readonly runs: readonly SavedMeasurement[];
  readonly card: Card | null;
}

/** What has come of the lots that are here, for the state of `lots` it was asked for. */
const fetched = signal<ReadonlyMap<number, Fetched>>(new Map());
let askedFor: readonly SavedLot[] | null = null;
const atOnce = 12;

/** Fetches runs and results of all lots, the newest first; a change of what is saved begins anew. */
export function followStandings(): () => void {
  return effect(() => {
    const all = lots.value;
    if (askedFor === all) return;
    askedFor = all;
    void fetchAll(all);
  });
}

async function fetchAll(all: readonly SavedLot[]): Promise<void> {
  const waiting = all.toSorted((a, b) => b.id - a.id).filter((lot) => lot.stages.length > 0);
  const found = new Map<number, Fetched>();
  for (let i = 0; i < waiting.length; i += atOnce) {
    const some = await Promise.all(waiting.slice(i, i + atOnce).map((lot) => fetchOne(lot.id)));
    if (askedFor !== all) return;
    for (const one of some) found.set(one.id, one);
    // What was known before stands until its like has come.
    fetched.value = new Map([...fetched.value, ...found]);
  }
}

async function fetchOne(id: number): Promise<Fetched & { readonly id: number }> {
  const here = measurements.value.get(id);
  const [runs, card] = await Promise.all([
    here ??
      wholeLot(id).then((whole) => (whole?.measurements ?? []).filter((m) => m.exclusionReason === null)),
    fetchCard(id).catch(() => null),
  ]);
  return { id, runs, card };
}

const runsOf = (found: Fetched | undefined, stage: string) =>
  (found?.runs ?? []).filter((m) => m.stage === stage);

/** What re-firing did to the lots of each material. */
const growths = computed(
  () =>
    new Map(
      [...new Set(lots.value.map((l) => l.material))].map((material) => [
        material,
        growthByPercent(
          ofMaterial(lots.value, material).flatMap((lot) => {
            const of = (stage: string) => runsOf(fetched.value.get(lot.id), stage);
            const [milled, refired] = [of("milled"), of("re-fired")];
            if (milled.length === 0 || refired.length === 0) return [];
            const curve = (runs: typeof milled) => meanCurve(runs.map((m) => curveOf(m.distribution)));
            const pair = pairOfCurves(lot.name, curve(milled), curve(refired));
            return pair === null ? [] : [pair];
          }),
        ),
      ]),
    ),
);

const knownLines = new WeakMap<Fetched, LotLine>();

/** Every lot with how it stands, the oldest first. A bought reference is none of the line's lots. */
export const lotLines = computed<readonly LotLine[]>(() =>
  lots.value
    .filter((lot) => lot.stages.every(({ stage }) => stage !== "reference") || lot.stages.length > 1)
    .map((lot) => {
      const found = fetched.value.get(lot.id);
      const known = found === undefined ? undefined : knownLines.get(found);
      const band = bandFor(lot)?.band ?? null;
      if (known !== undefined && known.lot === lot && known.band === band && !known.standing?.isPredicted)
        return known;
      const line = lineOf(lot, found, band);
      if (found !== undefined) knownLines.set(found, line);
      return line;
    })
    .toSorted((a, b) => a.day.localeCompare(b.day) || a.lot.id - b.lot.id),
);

function lineOf(lot: SavedLot, found: Fetched | undefined, band: Band | null): LotLine {
  const stages = lot.stages.map(({ stage }) => ({ stage, runs: runsOf(found, stage) }));
  const standing =
    found === undefined ? null : standingOf(stages, band, growths.value.get(lot.material) ?? null);
  const stage = lot.stages.find((s) => s.stage === standing?.stage)?.stage;
  const runs = stage === undefined ? [] : runsOf(found, stage);
  const measuredOn = runs.flatMap((m) => m.howMeasured?.date ?? []).at(-1);
  const nothing = { areaM2PerG: null, bet: null };
  return {
    lot,
    band,
    isHere: found !== undefined || lot.stages.length === 0,
    standing,
    ...(stage === undefined || found === undefined || runs.length === 0
      ? nothing
      : surfaceOf({ lot, band, found, stage, runs })),
    day: lot.dateMade ?? measuredOn ?? lot.keptAt,
    dayOf: lot.dateMade !== null ? "made" : measuredOn !== undefined ? "measured" : "saved",
  };
}

function surfaceOf(of: {
  readonly lot: SavedLot;
  readonly band: Band | null;
  readonly found: Fetched;
  readonly stage: SavedMeasurement["stage"];
  readonly runs: readonly SavedMeasurement[];
}): Pick<LotLine, "areaM2PerG" | "bet"> {
  const { lot, band, found, stage, runs } = of;
  const { answer, cameBack } = stageSurface({
    stage,
    densityGPerCm3: lot.densityGPerCm3,
    runs,
    settings: found.card?.stages.find((s) => s.stage === stage)?.settings ?? [],
    pairs: ownPairs(lot.material),
    results: found.card?.results ?? [],
    band,
  });
  const { ahead } = answer;
  const predicted =
    ahead === null
      ? null
      : {
          value: ahead.median,
          isPredicted: true,
          range:
            ahead.low === null || ahead.high === null
              ? ""
              : `${ahead.low.toPrecision(2)}–${ahead.high.toPrecision(2)}`,
        };
  return {
    areaM2PerG: answer.overRuns.value,
    bet: cameBack === null ? predicted : { value: cameBack.value, isPredicted: false, range: "" },
  };
}
