import { computed } from "@preact/signals";
import { mills, savedTrials } from "./entries.ts";
import { lot } from "./selection.ts";

/** Whether a trial may teach about the lot that is looked at: one that names no material may teach about any. */
const holds = computed(() => {
  const material = lot.value?.materialId ?? null;
  return (of: number | undefined) => lot.value === null || of === undefined || of === material;
});

/**
 * The classifier mill that is planned with: the one last tried on the material of the lot that is looked at, since what
 * a mill does to one powder says nothing of another. Where none was, the first; null while none is saved.
 */
export const mill = computed(() => {
  const material = lot.value?.materialId ?? null;
  const tried = savedTrials.value.findLast(({ materialId }) => materialId === material);
  return mills.value.find(({ id }) => id === tried?.millId) ?? mills.value[0] ?? null;
});

/** The trials of that mill on that material, those that count and those that were excluded. */
const own = computed(() =>
  savedTrials.value.filter((one) => one.millId === mill.value?.id && holds.value(one.materialId)),
);
export const trials = computed(() => own.value.filter((trial) => trial.exclusionReason === null));
export const excludedTrials = computed(() => own.value.filter((trial) => trial.exclusionReason !== null));
