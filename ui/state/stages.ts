import { computed, signal } from "@preact/signals";
import { humpsIn, stagesAnswer } from "#model/answers/stagesAnswer.ts";
import { byVolume } from "#model/band/byVolume.ts";
import { belowUm, density, lot, stageLine } from "./subject.ts";

/** Grams of powder at each stage of the lot, where they were entered; by stage. */
export const massesG = signal<Readonly<Record<string, number | null>>>({});

/** Stages of the lot that have runs, in the order of the process; the bought reference is no step of it. */
export const measuredStages = computed(() =>
  stageLine.value.filter((s) => s.stage !== "reference" && s.measurements.length > 0),
);

/** Looked for once a lot: fitting mixtures is the slow part. */
const humps = computed(() => new Map(measuredStages.value.map((s) => [s.stage, humpsIn(s.measurements)])));

/** What each step did to the lot; null where there are fewer than two stages to tell it from. */
export const steps = computed(() => {
  const line = measuredStages.value;
  if (lot.value === null || line.length < 2 || line.some((s) => byVolume(s.measurements).runs === null))
    return null;
  return stagesAnswer(
    line.map((s) => ({
      stage: s.stage,
      runs: s.measurements,
      massG: massesG.value[s.stage] ?? undefined,
      humps: humps.value.get(s.stage) ?? null,
    })),
    {
      belowUm: [...new Set([0.5, belowUm.value, 2])].sort((x, y) => x - y),
      densityGPerCm3: density.value,
    },
  );
});
