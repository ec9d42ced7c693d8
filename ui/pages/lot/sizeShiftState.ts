import { computed } from "@preact/signals";
import { sizeShiftAnswer } from "#model/answers/lot/sizeShiftAnswer.ts";
import { band, lot, ownLots, runs, stageJudged, stagesOf } from "#ui/data/selection.ts";

/** Chance that all limits are met at once and the size shift needed; the scatter is pooled over the saved lots of the material and stage. */
export const sizeShift = computed(() => {
  const target = band.value;
  if (target === null || runs.value.length === 0) return null;
  const others = ownLots.value
    .filter((l) => l.id !== lot.value?.id)
    .flatMap((l) => stagesOf(l).filter((s) => s.stage === stageJudged.value))
    .map((s) => s.measurements)
    .filter((m) => m.length > 1);
  return sizeShiftAnswer(runs.value, target, others);
});
