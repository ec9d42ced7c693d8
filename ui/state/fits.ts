import { computed, signal } from "@preact/signals";
import { fitAnswer } from "#model/answers/fitAnswer.ts";
import type { NetKind } from "#model/pictures/nets.ts";
import { density, runs } from "./subject.ts";

export { runs };

export const fitted = computed(() =>
  fitAnswer(runs.value, density.value === null ? {} : { densityGPerCm3: density.value }),
);

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
  const { fits, ranking } = fitted.value;
  return ranking.slice(0, 3).flatMap(({ family }) => {
    const fit = fits.find((f) => f.name === runDrawn.value?.name && f.family === family);
    return fit === undefined ? [] : [fit];
  });
});
