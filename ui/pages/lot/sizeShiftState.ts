import { computed } from "@preact/signals";
import { releaseAnswer } from "#model/answers/lot/releaseAnswer.ts";
import { sizeShiftAnswer } from "#model/answers/lot/sizeShiftAnswer.ts";
import { band, gap, keptRuns, release, runs } from "#ui/data/selection.ts";

/** Worked out once its code is here: rows have a chance from then on. */
export const releaseHere = computed(() => {
  const target = band.value;
  if (target === null || runs.value.length === 0 || gap.value !== null) return null;
  return releaseAnswer(runs.value, target, { kept: keptRuns.value });
});

/** Lets the verdict and the limits show the chances too. */
export function showRelease(): () => void {
  return releaseHere.subscribe((answer) => {
    release.value = answer;
  });
}

/** The size shift needed; its chances rest on the kept lots of the material and stage, as those of the release do. */
export const sizeShift = computed(() => {
  const target = band.value;
  if (target === null || runs.value.length === 0) return null;
  return sizeShiftAnswer(runs.value, target, { kept: keptRuns.value });
});
