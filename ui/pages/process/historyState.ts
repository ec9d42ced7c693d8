import { computed, signal } from "@preact/signals";
import type { Damaged } from "#api/records/records.ts";
import { type Effect, historyAnswer } from "#model/answers/factors/historyAnswer.ts";
import { type SavedHistory, targetsOf } from "#model/answers/factors/lotHistory.ts";
import type { Stage } from "#model/lot/stages.ts";
import { ask } from "#ui/data/client.ts";
import { band, belowUm, material } from "#ui/data/selection.ts";

export const historyStage = signal<Stage>("re-fired");
/** The history as last fetched; null before. */
export const savedHistory = signal<(SavedHistory & { readonly damaged: readonly Damaged[] }) | null>(null);
export const trouble = signal<string | null>(null);

/** Fetches the history of a stage; a later question outruns an earlier one. */
export async function fetchHistory(): Promise<void> {
  const of = material.value;
  const asked = `${historyStage.value} ${belowUm.value} ${of}`;
  latest = asked;
  try {
    const query = {
      stage: historyStage.value,
      "below-um": belowUm.value,
      ...(of === null ? {} : { material: of }),
    };
    const found = await ask("GET /api/lot-history", { query });
    if (latest !== asked) return;
    savedHistory.value = found;
    trouble.value = null;
  } catch (fault) {
    if (latest === asked) trouble.value = fault instanceof Error ? fault.message : String(fault);
  }
}
let latest = "";

/** Which column is charted; null is D50. */
export const charted = signal<string | null>(null);

export const chartedNames = computed(() =>
  savedHistory.value === null ? [] : [...savedHistory.value.sizes, ...savedHistory.value.results],
);

export const chartedName = computed(() => chartedNames.value.find((name) => name === charted.value) ?? "D50");

/** The chart of the column that is looked at, and the effects of every setting on it. */
export const answer = computed(() =>
  savedHistory.value === null
    ? null
    : historyAnswer(savedHistory.value, {
        of: [chartedName.value],
        factors: savedHistory.value.settings,
        targets: band.value?.stage === historyStage.value ? targetsOf(band.value) : {},
      }),
);

/** Other results against area and fines. */
export const resultEffects = computed<readonly Effect[]>(() =>
  savedHistory.value === null || savedHistory.value.results.length === 0
    ? []
    : historyAnswer(savedHistory.value, {
        of: savedHistory.value.results,
        factors: savedHistory.value.grounds,
      }).effects,
);

/** The lots that have both columns, as points. */
export function pointsOf(of: string, factor: string): { x: number; y: number; lot: string }[] {
  const column = (name: string) => savedHistory.value?.columns.find((c) => c.name === name)?.values ?? [];
  const [xs, ys] = [column(factor), column(of)];
  return (savedHistory.value?.lots ?? []).flatMap((lot, i) => {
    const [x, y] = [xs[i] ?? null, ys[i] ?? null];
    return x === null || y === null ? [] : [{ x, y, lot }];
  });
}

/** A column's name with its unit. */
export function labelOf(name: string): string {
  const unit = savedHistory.value?.columns.find((c) => c.name === name)?.unit ?? "";
  return unit === "" ? name : `${name}, ${unit}`;
}
