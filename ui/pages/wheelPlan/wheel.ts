import { computed } from "@preact/signals";
import { curveOf } from "#distributions/curve.ts";
import { wheelNumbersFrom } from "#model/answers/mill/wheelNumbers.ts";
import type { WheelOptions } from "#model/answers/mill/wheelQuestion.ts";
import { fitMill } from "#model/mill/prediction/fittedMill.ts";
import { judgedWith } from "#model/mill/prediction/judgedRows.ts";
import { targetBeforeRefiring as targetRowsOf } from "#model/mill/prediction/targetBeforeRefiring.ts";
import type { TrialCurve } from "#model/mill/trials/predictedCurve.ts";
import { farthestFactor, flowLimits } from "#model/mill/trials/setPoint.ts";
import { curvesByVolume } from "#model/mill/trials/trialCurves.ts";
import { d50MovedTo } from "#model/mill/trials/trialFit.ts";
import { wheelCut } from "#model/mill/wheel/cut.ts";
import { millInUse as mill } from "#ui/data/knownOfMill.ts";
import { trials } from "#ui/data/mill.ts";
import { priorsInForce } from "./priors.ts";
import { bandPlanned as band, refiringPairs } from "./refiring.ts";
import {
  chosenFeed,
  chosenFlow,
  chosenSpeed,
  faults,
  restedFeed,
  restedFlow,
  targetD50Um,
} from "./wheelEntries.ts";

/** Fitted once for a set of trials and lots; every move of the slider only asks it. */
export const fittedMill = computed(() =>
  mill.value === null
    ? null
    : fitMill(
        mill.value.mill,
        trials.value.map((t) => t.trial),
        {
          pairs: refiringPairs.value,
          priors: priorsInForce.value,
          curves: trialCurves.value.map((t) => t.curve),
        },
      ),
);
const fit = computed(() => fittedMill.value?.fit ?? null);

/** Speeds at the wheel, as its description gives them. */
export const speeds = computed(() =>
  mill.value === null || settingFault.value !== null || !(speedRpm.value > 0)
    ? null
    : wheelCut(mill.value.mill, speedRpm.value, flowM3PerH.value),
);

export const flowM3PerH = computed(() => chosenFlow.value ?? mill.value?.mill.gasFlowM3PerH ?? 100);
export const feedKgPerH = computed(() => chosenFeed.value ?? fit.value?.reference.feedKgPerH ?? null);

/** Flow and feed once their sliders rest. */
export const steadyFlow = computed(() => restedFlow.value ?? mill.value?.mill.gasFlowM3PerH ?? 100);
export const steadyFeed = computed(() => restedFeed.value ?? fit.value?.reference.feedKgPerH ?? null);

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

/** Where the flow's slider may stand: as far as the trials may be believed, and never without what is chosen. */
export const flowRange = computed(() => {
  const trialFit = fit.value;
  const limits = trialFit === null ? null : flowLimits(trialFit);
  const now = flowM3PerH.value;
  const isWide = limits !== null && limits.highestM3PerH > limits.lowestM3PerH;
  return {
    min: Math.min(Math.ceil(isWide ? limits.lowestM3PerH : now / 1.5), Math.max(now, 0)),
    max: Math.max(Math.floor(isWide ? limits.highestM3PerH : now * 1.5), now),
  };
});

/** The same of the feed; null where no feed is known. */
export const feedRange = computed(() => {
  const now = feedKgPerH.value;
  if (now === null) return null;
  const known = trials.value.flatMap(({ trial }) => trial.feedKgPerH ?? []);
  const tried = known.length === 0 ? [now] : known;
  return {
    min: Math.min(Number((Math.min(...tried) / farthestFactor).toPrecision(2)), Math.max(now, 0)),
    max: Math.max(Number((Math.max(...tried) * farthestFactor).toPrecision(2)), now),
  };
});

/** Where the reader stands: the speed chosen, else the one for the target, else the middle of the trials. */
export const speedRpm = computed(
  () =>
    chosenSpeed.value ??
    toTens(suggestion.value?.speedRpm?.median ?? fit.value?.reference.speedRpm ?? slider.value.min),
);

function toTens(rpm: number): number {
  return 10 * Math.round(rpm / 10);
}

/** A flow or feed that cannot be used leaves nothing to answer; the reason stands beside the field and as the answer. */
export const settingFault = computed(() => faults.flow.value ?? faults.feed.value);

const setting = computed(() => ({
  flowM3PerH: flowM3PerH.value,
  ...(feedKgPerH.value === null ? {} : { feedKgPerH: feedKgPerH.value }),
}));

/** The band's limits as the trials speak of them; worked out once, not for every move. */
export const judged = computed(() =>
  fittedMill.value === null || band.value === null ? null : judgedWith(fittedMill.value, band.value),
);

/** What the plan asks of the mill. */
export const planOptions = computed<WheelOptions>(() => ({
  ...setting.value,
  speedRpm: speedRpm.value,
  wantsBest: false,
  ...(band.value === null ? {} : { band: band.value }),
  ...(judged.value === null ? {} : { judged: judged.value }),
}));

/** What the slider's speed gives; null where what was entered cannot be used. */
export const plan = computed(() =>
  mill.value === null || settingFault.value !== null || !(speedRpm.value > 0)
    ? null
    : wheelNumbersFrom(mill.value.mill, fittedMill.value, planOptions.value),
);

export const suggestionOptions = computed<WheelOptions>(() => ({
  flowM3PerH: steadyFlow.value,
  ...(steadyFeed.value === null ? {} : { feedKgPerH: steadyFeed.value }),
  ...(targetD50Um.value === null ? {} : { targetD50Um: targetD50Um.value }),
}));

/** The speed for the target; does not depend on the slider, so it is not asked again when that moves. */
export const suggestion = computed(() =>
  mill.value === null ||
  targetD50Um.value === null ||
  (settingFault.value ?? faults.target.value) !== null ||
  !(steadyFlow.value > 0 && (steadyFeed.value ?? 1) > 0)
    ? null
    : wheelNumbersFrom(mill.value.mill, fittedMill.value, suggestionOptions.value),
);

/** The band set back to the milled powder; empty where no lot says what re-firing adds. */
export const targetBeforeRefiring = computed(() =>
  fittedMill.value === null || band.value === null ? [] : targetRowsOf(fittedMill.value.growth, band.value),
);

/** What is said of the trials' curves, and of which cannot be used. */
export const curveProblems = computed(() => turnedCurves.value.flatMap(({ problems }) => problems));

export const trialCurves = computed<readonly TrialCurve[]>(() =>
  turnedCurves.value.flatMap(({ trial, curves }) =>
    curves.map(({ name, distribution }) => ({
      name,
      speedRpm: trial.speedRpm,
      curve: curveOf(distribution),
    })),
  ),
);

const turnedCurves = computed(() =>
  trials.value.flatMap(({ name, trial, curve }) =>
    curve === null ? [] : [{ trial, ...curvesByVolume([{ file: null, name, distribution: curve }]) }],
  ),
);

/** Trials as they would lie had all run at the plan's flow and feed. */
export const movedTrials = computed(() => {
  const known = fit.value;
  if (known === null || settingFault.value !== null) return [];
  const at = { flowM3PerH: flowM3PerH.value, feedKgPerH: feedKgPerH.value };
  return trials.value.map((t) => ({ ...t, d50MovedUm: d50MovedTo(known, t.trial, at) }));
});

/** The same at the flow and feed that rest, each with its deviation from what the others predict: for the table. */
export const steadyMovedTrials = computed(() => {
  const known = fit.value;
  const z = known?.leaveOneOutZ ?? [];
  const at = { flowM3PerH: steadyFlow.value, feedKgPerH: steadyFeed.value };
  const canMove = known !== null && settingFault.value === null;
  return trials.value.map((t, i) => ({
    id: t.id,
    d50MovedUm: canMove ? d50MovedTo(known, t.trial, at) : null,
    deviationZ: z[i] ?? null,
  }));
});
