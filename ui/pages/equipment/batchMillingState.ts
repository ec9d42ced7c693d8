import { computed, effect, signal } from "@preact/signals";
import type { NewBatch } from "#api/records/records.ts";
import { type BatchAnswer, batchAnswer, usualBatch } from "#model/answers/mill/batchAnswer.ts";
import { noteOnly } from "#ui/data/client.ts";
import { batches, loadAll } from "#ui/data/entries.ts";
import { lot, stageLine } from "#ui/data/selection.ts";

/** Stages that may be the start of a batch. */
export const startChoices = computed(() =>
  stageLine.value.filter((s) => s.curve !== null && s.stage !== "re-fired").map((s) => s.stage),
);
const chosenStart = signal<string | null>(null);
const ofLot = computed(() => batches.value.filter((b) => b.lotId === lot.value?.id));
/** The one chosen, else one with a batch noted, else the powder a mill is fed with. */
export const startStage = computed(
  () =>
    startChoices.value.find((s) => s === chosenStart.value) ??
    startChoices.value.find((s) => ofLot.value.some((b) => b.stage === s)) ??
    startChoices.value.find((s) => s === "crushed") ??
    startChoices.value[0] ??
    null,
);
export function chooseStart(stage: string): void {
  chosenStart.value = stage;
}

const nothing: NewBatch = { afterMin: null, d50AfterUm: null, targetD50Um: null, ...usualBatch };
const saved = computed(() => ofLot.value.find((b) => b.stage === startStage.value) ?? null);
const place = computed(() => `${lot.value?.id} ${startStage.value}`);
/** What was typed and is not saved yet, and where it belongs. */
const edited = signal<{ readonly place: string; readonly batch: NewBatch } | null>(null);
export const isBatchEdited = computed(() => edited.value?.place === place.value);

export const batch = computed<NewBatch>(() => {
  if (edited.value?.place === place.value) return edited.value.batch;
  if (saved.value === null) return nothing;
  const { afterMin, d50AfterUm, targetD50Um, rateExponent, fragmentExponent } = saved.value;
  return { afterMin, d50AfterUm, targetD50Um, rateExponent, fragmentExponent };
});

export function enterBatch(change: Partial<NewBatch>): void {
  edited.value = { place: place.value, batch: { ...batch.value, ...change } };
}

/** Keeps what was typed with the lot. */
export async function saveBatch(): Promise<void> {
  if (lot.value === null || startStage.value === null) return;
  const params = { id: lot.value.id, stage: startStage.value };
  const sent = edited.value;
  const route = "PUT /api/lots/{id}/batches/{stage}";
  await noteOnly(route, { params, body: batch.value }, saved.value, async () => {
    await loadAll();
    // What was typed meanwhile is not saved yet.
    if (edited.value === sent) edited.value = null;
  });
}

/** Why an entry cannot be used; null while it can. */
export function batchFault(name: keyof NewBatch): string | null {
  const value = batch.value[name];
  return value === null || value > 0 ? null : "Must be above zero.";
}

/** The course, a moment after the last entry; null while something is missing. */
export const course = signal<BatchAnswer | null>(null);

let round = 0;
effect(() => {
  const mine = ++round;
  const start = stageLine.value.find((s) => s.stage === startStage.value)?.curve ?? null;
  const { afterMin, d50AfterUm, ...asked } = batch.value;
  course.value = null;
  if (start === null || afterMin === null || d50AfterUm === null) return;
  setTimeout(() => {
    if (mine === round) course.value = batchAnswer(start, { ...asked, afterMin, d50AfterUm });
  }, 150);
});
