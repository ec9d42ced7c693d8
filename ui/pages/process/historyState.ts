import { computed, signal } from "@preact/signals";
import type { Contract } from "#api/contract/contract.ts";
import { type DriftChart, driftChart } from "#model/answers/factors/driftAnswer.ts";
import { factorsAnswer } from "#model/answers/factors/factorsAnswer.ts";
import { type Effect, historyAnswer } from "#model/answers/factors/historyAnswer.ts";
import type { ColumnField } from "#model/answers/factors/lotHistory.ts";
import { targetsOf } from "#model/answers/factors/lotHistory.ts";
import { type DriftLimits, driftLimits } from "#model/factors/driftLimits.ts";
import type { Stage } from "#model/lot/stages.ts";
import { ask } from "#ui/data/client.ts";
import { band, belowUm, material } from "#ui/data/selection.ts";

export type ShownHistory = Contract["GET /api/lot-history"]["answer"];

export const historyStage = signal<Stage>("re-fired");
/** The history as last fetched; null before. */
export const savedHistory = signal<ShownHistory | null>(null);
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
    keepOrder(found.fields);
    savedHistory.value = found;
    trouble.value = null;
  } catch (fault) {
    if (latest === asked) trouble.value = fault instanceof Error ? fault.message : String(fault);
  }
}
let latest = "";

/** Columns that were added on the page and hold nothing yet. */
const addedFields = signal<readonly ColumnField[]>([]);

/** The columns in the order in which they first stood on the page: saving one never moves it from under the cursor. */
const columnOrder = signal<readonly string[]>([]);

function keepOrder(of: readonly ColumnField[]): void {
  const known = columnOrder.value;
  const fresh = of.map(({ column }) => column).filter((column) => !known.includes(column));
  if (fresh.length > 0) columnOrder.value = [...known, ...fresh];
}

export function addField(field: ColumnField): void {
  addedFields.value = [...addedFields.value, field];
  keepOrder([field]);
}

/** Every setting and other result as a column that can be edited, saved or only added. */
export const fields = computed(() => {
  const saved = savedHistory.value?.fields ?? [];
  const added = addedFields.value.filter(({ column }) => !saved.some((f) => f.column === column));
  const place = ({ column }: ColumnField) => columnOrder.value.indexOf(column);
  return [...saved, ...added].toSorted((a, b) => place(a) - place(b));
});

/** Which result is looked at; null is D50. */
export const chosenResult = signal<string | null>(null);

export const resultNames = computed(() =>
  savedHistory.value === null ? [] : [...savedHistory.value.sizes, ...savedHistory.value.results],
);

export const resultName = computed(
  () => resultNames.value.find((name) => name === chosenResult.value) ?? "D50",
);

/** Which settings go with which results, over all of them together. */
export const found = computed(() => {
  const history = savedHistory.value;
  return history === null
    ? null
    : factorsAnswer(history, { of: resultNames.value, factors: history.settings, drifts: false });
});

/** What is found of the result that is looked at. */
export const effectsOfResult = computed(() =>
  (found.value?.effects ?? []).filter((e) => e.of === resultName.value),
);

/** Which setting is looked at; null is the one that explains the result best. */
export const chosenSetting = signal<string | null>(null);

export const settingName = computed(() => {
  const names = savedHistory.value?.settings ?? [];
  const rank = (pValue: number | null) => pValue ?? 2;
  const best = effectsOfResult.value.toSorted((a, b) => rank(a.pValue) - rank(b.pValue))[0];
  return names.find((name) => name === chosenSetting.value) ?? best?.factor ?? names[0] ?? null;
});

/** The second setting of the map: the one after the first in what they explain. */
export const chosenSecond = signal<string | null>(null);

export const secondName = computed(() => {
  const others = (savedHistory.value?.settings ?? []).filter((name) => name !== settingName.value);
  return others.find((name) => name === chosenSecond.value) ?? others[0] ?? null;
});

const limitsByLots = new Map<number, DriftLimits>();
/** Simulated once for a number of lots. */
function limitsFor(lots: number): DriftLimits {
  const known = limitsByLots.get(lots) ?? driftLimits(lots);
  limitsByLots.set(lots, known);
  return known;
}

/** Whether the result that is looked at drifts. */
export const drift = computed<DriftChart | null>(() => {
  const history = savedHistory.value;
  const column = history?.columns.find(({ name }) => name === resultName.value);
  return history === null || column === undefined ? null : driftChart(history.lots, column, limitsFor);
});

/** What the band asks of the result; null where it asks nothing. */
export const target = computed(() =>
  band.value?.stage === historyStage.value ? (targetsOf(band.value)[resultName.value] ?? null) : null,
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

/** A column's values, lot by lot. */
export function valuesOf(name: string | null): readonly (number | null)[] {
  return savedHistory.value?.columns.find((c) => c.name === name)?.values ?? [];
}

/** The lots that have both columns, as points. */
export function pointsOf(of: string, factor: string): { x: number; y: number; lot: string }[] {
  const [xs, ys] = [valuesOf(factor), valuesOf(of)];
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
