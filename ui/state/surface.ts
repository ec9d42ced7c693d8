import { computed } from "@preact/signals";
import { surfaceAnswer } from "#model/answers/surfaceAnswer.ts";
import { looking } from "./incoming.ts";
import { pairs } from "./kept.ts";
import { lot, runs, stage } from "./subject.ts";

/** The surface area of what is looked at, and what BET is to show. */
export const surface = computed(() =>
  lot.value === null || runs.value.length === 0
    ? null
    : surfaceAnswer(runs.value, {
        densityGPerCm3: lot.value.densityGPerCm3,
        pairs: pairs.value,
        stage: looking.value === null ? (stage.value?.stage ?? "re-fired") : "re-fired",
      }),
);
