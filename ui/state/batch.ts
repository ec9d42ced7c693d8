import { computed, effect, signal } from "@preact/signals";
import { type BatchAnswer, batchAnswer } from "#model/answers/batchAnswer.ts";
import { stageLine } from "./subject.ts";

export const isBatchOpen = signal(false);

/** Stages that may be the start of a batch. */
export const startChoices = computed(() =>
  stageLine.value.filter((s) => s.curve !== null && s.stage !== "re-fired").map((s): string => s.stage),
);
const chosenStart = signal<string | null>(null);
export const startStage = computed(() =>
  chosenStart.value !== null && startChoices.value.includes(chosenStart.value)
    ? chosenStart.value
    : (startChoices.value.find((s) => s === "crushed") ?? startChoices.value[0] ?? null),
);
export function chooseStart(stage: string): void {
  chosenStart.value = stage;
}

export const afterMin = signal<number | null>(null);
export const d50AfterUm = signal<number | null>(null);
export const targetUm = signal<number | null>(null);
export const rateExponent = signal(1);
export const fragmentExponent = signal(1.4);

/** The course, a moment after the last entry; null while something is missing. */
export const course = signal<BatchAnswer | null>(null);

let round = 0;
effect(() => {
  const mine = ++round;
  const start = stageLine.value.find((s) => s.stage === startStage.value)?.curve ?? null;
  const minutes = afterMin.value;
  const found = d50AfterUm.value;
  const asked = {
    targetD50Um: targetUm.value,
    rateExponent: rateExponent.value,
    fragmentExponent: fragmentExponent.value,
  };
  if (!isBatchOpen.value) return;
  course.value = null;
  if (start === null || minutes === null || found === null) return;
  setTimeout(() => {
    if (mine === round) course.value = batchAnswer(start, { ...asked, afterMin: minutes, d50AfterUm: found });
  }, 150);
});
