import { computed } from "@preact/signals";
import { surfaceAnswer } from "#model/answers/surface/surfaceAnswer.ts";
import { lot, ownPairs, runs, stageJudged } from "./selection.ts";

/** The surface area of what is looked at, and what BET is to show. */
export const surface = computed(() =>
  lot.value === null || runs.value.length === 0
    ? null
    : surfaceAnswer(runs.value, {
        densityGPerCm3: lot.value.densityGPerCm3,
        pairs: ownPairs(lot.value.material),
        stage: stageJudged.value ?? "re-fired",
      }),
);
