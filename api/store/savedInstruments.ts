import {
  instrumentAnswer,
  type MeasuredStage,
  offsetAnswer,
} from "#model/answers/compare/instrumentsAnswer.ts";
import { isSameMaterial } from "#model/lot/material.ts";
import type { Store } from "./store.ts";

/** So many of the newest lots are looked through for those measured by both. */
const maxLots = 500;
const atOnce = 100;

export async function askInstruments(store: Store) {
  const { entries } = await store.entries("instrument");
  return { instruments: entries.map(({ name, checks }) => instrumentAnswer(name, checks)) };
}

export async function askOffset(
  store: Store,
  asked: {
    readonly first: string;
    readonly second: string;
    readonly percentile?: number;
    readonly material?: string;
  },
) {
  const { lots } = await store.lots();
  const ids = lots
    .filter((lot) => asked.material === undefined || isSameMaterial(lot.material, asked.material))
    .map(({ id }) => id)
    .slice(-maxLots);
  const stages: MeasuredStage[] = [];
  for (let from = 0; from < ids.length; from += atOnce) {
    const whole = await store.wholeLots(ids.slice(from, from + atOnce));
    for (const { lot, measurements } of whole.lots)
      for (const { stage } of lot.stages)
        stages.push({
          lot: lot.name,
          stage,
          runs: measurements.filter((run) => run.stage === stage && run.exclusionReason === null),
        });
  }
  const named = stages.flatMap(({ runs }) =>
    runs.flatMap(({ howMeasured = {} }) => howMeasured.instrument ?? []),
  );
  return { ...offsetAnswer(stages, asked), instruments: [...new Set(named)].toSorted() };
}
