import { computed } from "@preact/signals";
import { trialsFor } from "#model/lot/material.ts";
import { lots, mills, savedTrials } from "./entries.ts";
import { lot } from "./selection.ts";

/**
 * The classifier mill that is planned with: the one last tried on the material of the lot that is looked at, since what
 * a mill does to one powder says nothing of another. Where none was, the first; null while none is saved.
 */
export const mill = computed(() => {
  const material = lot.value?.materialId ?? null;
  const tried = savedTrials.value.findLast(({ materialId }) => materialId === material);
  return mills.value.find(({ id }) => id === tried?.millId) ?? mills.value[0] ?? null;
});

const ofMill = computed(() => savedTrials.value.filter(({ millId }) => millId === mill.value?.id));
const materialIds = computed(() => [
  ...lots.value.map(({ materialId }) => materialId),
  ...savedTrials.value.flatMap(({ materialId }) => materialId ?? []),
]);

/** The trials of that mill on that material, those that count and those that were excluded. */
const own = computed(() =>
  lot.value === null ? ofMill.value : trialsFor(ofMill.value, lot.value.materialId, materialIds.value),
);
export const trials = computed(() => own.value.filter((trial) => trial.exclusionReason === null));
export const excludedTrials = computed(() => own.value.filter((trial) => trial.exclusionReason !== null));
/** The trials of that mill that name no material, where the lab has several: they count for none until they do. */
export const unnamedTrials = computed(() =>
  ofMill.value.filter((trial) => trial.materialId === undefined && !own.value.includes(trial)),
);
