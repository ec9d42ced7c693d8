import { computed, signal } from "@preact/signals";
import type { SavedMeasurement } from "#api/records/records.ts";
import { releaseAnswer } from "#model/answers/lot/releaseAnswer.ts";
import { sizeShiftAnswer } from "#model/answers/lot/sizeShiftAnswer.ts";
import type { PortionRun } from "#model/release/portions.ts";
import { measurements } from "#ui/data/entries.ts";
import { isTaught, keptRuns } from "#ui/data/ground.ts";
import { looking } from "#ui/data/incoming.ts";
import { band, gap, lot, release, runs, stage } from "#ui/data/selection.ts";

/** A saved run as the model takes it: its portion by name. */
function portionRun({ portion, ...run }: SavedMeasurement): PortionRun {
  return portion === undefined ? run : { ...run, portion: portion.name };
}

/** The runs judged, with the portions that they are of. */
const ownRuns = computed<readonly PortionRun[]>(() => {
  if (looking.value !== null) return looking.value;
  const all = lot.value === null ? [] : (measurements.value.get(lot.value.id) ?? []);
  return all.filter((run) => run.stage === stage.value?.stage).map(portionRun);
});

/** How far portions of one lot differ, in per cent, as entered for the answers shown; null where it is not known. */
export const samplingPercent = signal<number | null>(null);

const kept = computed(() => keptRuns.value.map((own) => own.map(portionRun)));

/** Worked out once its code is here: rows have a chance from then on. */
export const releaseHere = computed(() => {
  const target = band.value;
  if (target === null || runs.value.length === 0 || gap.value !== null || !isTaught.value) return null;
  return releaseAnswer(ownRuns.value, target, {
    kept: kept.value,
    samplingCv: samplingPercent.value === null ? null : samplingPercent.value / 100,
  });
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
  if (target === null || runs.value.length === 0 || !isTaught.value) return null;
  return sizeShiftAnswer(ownRuns.value, target, { kept: kept.value });
});
