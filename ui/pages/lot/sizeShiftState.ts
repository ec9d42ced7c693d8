import { computed } from "@preact/signals";
import { sizeShiftAnswer } from "#model/answers/lot/sizeShiftAnswer.ts";
import { lots } from "#ui/data/entries.ts";
import { band, lot, runs, stageJudged, stagesOf } from "#ui/data/selection.ts";

/** How surely all limits hold at once and what would bring the lot in; the spread is pooled over the kept lots of its stage. */
export const sizeShift = computed(() => {
  const target = band.value;
  if (target === null || runs.value.length === 0) return null;
  const others = lots.value
    .filter((l) => l.id !== lot.value?.id)
    .flatMap((l) => stagesOf(l).filter((s) => s.stage === stageJudged.value))
    .map((s) => s.measurements)
    .filter((m) => m.length > 1);
  return sizeShiftAnswer(runs.value, target, others);
});
