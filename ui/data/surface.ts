import { computed } from "@preact/signals";
import { surfaceAnswer } from "#model/answers/surface/surfaceAnswer.ts";
import { calibrationPairs } from "./calibration.ts";
import { lot, runs, stageJudged } from "./selection.ts";

/** The surface area of what is looked at, and what BET is to show. */
export const surface = computed(() =>
  lot.value === null || runs.value.length === 0
    ? null
    : surfaceAnswer(runs.value, {
        densityGPerCm3: lot.value.densityGPerCm3,
        pairs: calibrationPairs(lot.value, stageJudged.value ?? "re-fired"),
        stage: stageJudged.value ?? "re-fired",
      }),
);
