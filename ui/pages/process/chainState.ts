import { computed, effect, signal } from "@preact/signals";
import { curveOf, meanCurve, sizeAt } from "#distributions/curve.ts";
import { chainAnswer } from "#model/answers/factors/chainAnswer.ts";
import type { HistoryColumn } from "#model/answers/factors/historyAnswer.ts";
import { targetsOf } from "#model/answers/factors/lotHistory.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { inProcessOrder } from "#model/lot/processSteps.ts";
import { areRunsHere, fetchRuns, lots, measurements } from "#ui/data/entries.ts";
import { band, material } from "#ui/data/selection.ts";
import { stepsOf } from "#ui/data/steps.ts";
import { historyStage, savedHistory } from "./historyState.ts";

/** The settings of the lot to be made, as entered; one that is not is as in the last lot. */
export const chosenSettings = signal<Readonly<Record<string, number | null>>>({});

const percents = [10, 50, 90] as const;

/** The steps up to the stage that is judged: the band's, else the one looked at. */
const chainStages = computed(() => {
  const measured = ids.value.flatMap((id) => lots.value.find((lot) => lot.id === id)?.stages ?? []);
  const worked = measured
    .map(({ stage }) => stage)
    .filter((stage) => stage !== "precursor" && stage !== "reference");
  const line = inProcessOrder(stepsOf(material.value ?? ""), worked);
  const last = line.find((stage) => stage === band.value?.stage) ?? historyStage.value;
  return line.slice(0, line.indexOf(last) + 1);
});

const ids = computed(() => savedHistory.value?.ids ?? []);

effect(() => void fetchRuns(ids.value));

/** The lots of the history with their sizes after every step, and their settings. */
const chainHistory = computed(() => {
  const sizes = chainStages.value.flatMap((stage) => {
    const curves = ids.value.map((id) => {
      const own = (measurements.value.get(id) ?? []).filter((m) => m.stage === stage);
      const runs = own.length === 0 ? null : byVolume(own).runs;
      return runs === null ? null : meanCurve(runs.map((m) => curveOf(m.distribution)));
    });
    return percents.map(
      (p): HistoryColumn => ({
        name: `${stage} D${p}`,
        unit: "µm",
        values: curves.map((curve) => (curve === null ? null : sizeAt(curve, p / 100))),
      }),
    );
  });
  const history = savedHistory.value;
  const settings = (history?.columns ?? []).filter(({ name }) => history?.settings.includes(name));
  const names = ids.value.map((id) => lots.value.find((lot) => lot.id === id)?.name ?? "");
  return { lots: names, columns: [...settings, ...sizes] };
});

/** A lot to be made, through all steps; null where fewer than two were measured, and until all runs have come. */
export const chain = computed(() => {
  const history = savedHistory.value;
  if (history === null || chainStages.value.length < 2 || !areRunsHere(ids.value)) return null;
  const at = Object.entries(chosenSettings.value).flatMap(([name, value]) =>
    value === null ? [] : [[name, value] as const],
  );
  const settingsAt = (stage: string) =>
    history.fields
      .filter((field) => field.stage === stage && history.settings.includes(field.column))
      .map(({ column }) => column);
  const last = chainStages.value.at(-1);
  return chainAnswer(chainHistory.value, {
    steps: chainStages.value.map((stage) => ({ stage, settings: settingsAt(stage) })),
    at: Object.fromEntries(at),
    ...(band.value === null || band.value.stage !== last
      ? {}
      : {
          limits: Object.fromEntries(
            Object.entries(targetsOf(band.value)).filter(([name]) => /^D\d\d$/.test(name)),
          ),
        }),
  });
});
