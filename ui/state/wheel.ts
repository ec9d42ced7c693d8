import { computed, signal } from "@preact/signals";
import { curveOf } from "#distributions/curve.ts";
import { trialFitOf, wheelAnswerFrom } from "#model/answers/wheelAnswer.ts";
import { cautionsFor } from "#model/mill/cautions.ts";
import { predictedCurve, type TrialCurve } from "#model/mill/trials/predictedCurve.ts";
import { farthestFactor } from "#model/mill/trials/setPoint.ts";
import { predictD50 } from "#model/mill/trials/trialFit.ts";
import { evenSteps } from "#model/pictures/scale.ts";
import { mills, trials } from "./kept.ts";
import { place } from "./place.ts";

export const mill = computed(() => mills.value[0] ?? null);

/** Learned once for a set of trials; every move of the slider only asks it. */
export const fit = computed(() =>
  mill.value === null
    ? null
    : trialFitOf(
        mill.value.mill,
        trials.value.map((t) => t.trial),
      ),
);

/** What the user set; null means the usual. */
export const chosenFlow = signal<number | null>(null);
export const chosenFeed = signal<number | null>(null);
export const targetD50Um = signal<number | null>(3);

export const flowM3PerH = computed(() => chosenFlow.value ?? mill.value?.mill.gasFlowM3PerH ?? 100);
export const feedKgPerH = computed(() => chosenFeed.value ?? fit.value?.reference.feedKgPerH ?? null);

/** Speeds the picture shows: somewhat beyond the trials, and the rated speed as a wall. */
export const speedRange = computed<readonly [number, number]>(() => {
  const speeds = trials.value.map((t) => t.trial.speedRpm);
  const rated = mill.value?.mill.ratedSpeedRpm ?? null;
  const top = Math.max(rated ?? 0, ...speeds.map((s) => s * 1.1), 1000);
  const bottom = speeds.length > 0 ? Math.min(...speeds) / farthestFactor : top / 10;
  return [Math.floor(bottom / 100) * 100, Math.ceil((top * 1.03) / 100) * 100];
});

/** Where the slider may stand: never above the rated speed. */
export const slider = computed(() => ({
  min: speedRange.value[0],
  max: mill.value?.mill.ratedSpeedRpm ?? speedRange.value[1],
}));

export const speedRpm = computed(() => {
  const wanted = place.value.speedRpm ?? fit.value?.reference.speedRpm ?? slider.value.min;
  return Math.round(Math.min(Math.max(wanted, slider.value.min), slider.value.max) / 10) * 10;
});

const setting = computed(() => ({
  flowM3PerH: flowM3PerH.value,
  ...(feedKgPerH.value === null ? {} : { feedKgPerH: feedKgPerH.value }),
}));

/** What the slider's speed gives. */
export const plan = computed(() =>
  mill.value === null
    ? null
    : wheelAnswerFrom(mill.value.mill, fit.value, { ...setting.value, speedRpm: speedRpm.value }),
);

/** The speed for the target; does not depend on the slider, so it is not asked again when that moves. */
export const suggestion = computed(() =>
  mill.value === null || targetD50Um.value === null
    ? null
    : wheelAnswerFrom(mill.value.mill, fit.value, { ...setting.value, targetD50Um: targetD50Um.value }),
);

const ribbonLevels = { inner: 0.5, outer: 0.9 } as const;

/** Median and ribbons over speed; changes with flow and feed, not with the slider. */
export const ribbons = computed(() => {
  const speeds = evenSteps(speedRange.value[0], speedRange.value[1], 41);
  const learned = fit.value;
  if (learned === null) return null;
  const fastest = Math.max(...trials.value.map((t) => t.trial.speedRpm)) * farthestFactor;
  const rated = mill.value?.mill.ratedSpeedRpm ?? Number.POSITIVE_INFINITY;
  const at = speeds.map((speed) => {
    if (speed > Math.min(rated, trials.value.length > 0 ? fastest : rated)) return null;
    const setting = { speedRpm: speed, flowM3PerH: flowM3PerH.value, feedKgPerH: feedKgPerH.value };
    return {
      inner: predictD50(learned, setting, ribbonLevels.inner),
      outer: predictD50(learned, setting, ribbonLevels.outer),
    };
  });
  return {
    speeds,
    median: at.map((p) => p?.outer.median ?? null),
    outerLow: at.map((p) => p?.outer.low ?? null),
    outerHigh: at.map((p) => p?.outer.high ?? null),
    innerLow: at.map((p) => p?.inner.low ?? null),
    innerHigh: at.map((p) => p?.inner.high ?? null),
  };
});

const trialCurves = computed<readonly TrialCurve[]>(() =>
  trials.value.flatMap((t) =>
    t.curve === null ? [] : [{ name: t.name, speedRpm: t.trial.speedRpm, curve: curveOf(t.curve) }],
  ),
);

/** The whole product to expect at the slider's speed; null with the reason where there is none. */
export const predicted = computed(() => {
  const d50 = plan.value?.d50Um ?? null;
  return d50 === null ? null : predictedCurve(trialCurves.value, speedRpm.value, d50.median);
});

export const whyNoCurve = computed(() => {
  if (predicted.value !== null) return null;
  if (trialCurves.value.length === 0)
    return "No curve is drawn: none of the trials has a whole curve. Bring one in with a trial.";
  return "No curve is drawn: no D50 is predicted at this setting.";
});

export const cautions = computed(() => (mill.value === null ? [] : cautionsFor(mill.value.mill)));
