import { computed, effect, signal } from "@preact/signals";
import { type FitAnswer, fitAnswerSteps } from "#model/answers/lot/fitAnswer.ts";
import type { NetKind } from "#model/pictures/nets.ts";
import { inSteps, type Work } from "#ui/data/inSteps.ts";
import { density, runs } from "#ui/data/selection.ts";

export { runs };

/** Whether the reader has come near them: only then are they worked out. */
export const areFitsNear = signal(false);

const outcome = signal<(() => FitAnswer) | null>(null);
/** Null while they are being worked out. */
export const fitted = computed(() => outcome.value?.() ?? null);

let work: Work | null = null;
effect(() => {
  outcome.value = null;
  if (!areFitsNear.value) return;
  const asked = density.value === null ? {} : { densityGPerCm3: density.value };
  work = inSteps(fitAnswerSteps(runs.value, asked), (answer) => {
    outcome.value = answer;
  });
  return work.stop;
});

/** All of them at once, for paper that does not wait. */
export function finishFits(): void {
  areFitsNear.value = true;
  work?.finish();
}

/** The paper on which the fits are drawn. */
export const net = signal<NetKind>("log-probability net");

const chosen = signal<string | null>(null);

/** The run that is drawn: the one chosen, else the first. */
export const runDrawn = {
  get value() {
    return runs.value.find((r) => r.name === chosen.value) ?? runs.value[0] ?? null;
  },
  choose(name: string) {
    chosen.value = name;
  },
};

/** The best three curves of the run that is drawn. */
export const drawnFits = computed(() => {
  const { fits, ranking } = fitted.value ?? { fits: [], ranking: [] };
  return ranking.slice(0, 3).flatMap(({ family }) => {
    const fit = fits.find((f) => f.name === runDrawn.value?.name && f.family === family);
    return fit === undefined ? [] : [fit];
  });
});
