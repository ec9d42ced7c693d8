import { computed } from "@preact/signals";
import { farthestFactor } from "#model/mill/trials/setPoint.ts";
import { predictD50 } from "#model/mill/trials/trialFit.ts";
import { evenSteps } from "#model/numbers/evenSteps.ts";
import { millInUse as mill } from "#ui/data/knownOfMill.ts";
import { trials } from "#ui/data/mill.ts";
import { feedKgPerH, fittedMill, flowM3PerH, settingFault, speedRange } from "./wheel.ts";

const ribbonLevels = { inner: 0.5, outer: 0.9 } as const;

/** Median and ribbons over speed; changes with flow and feed, not with the slider. */
export const ribbons = computed(() => {
  const speeds = evenSteps(speedRange.value[0], speedRange.value[1], 41);
  const known = fittedMill.value?.fit ?? null;
  if (known === null || settingFault.value !== null) return null;
  const fastest = Math.max(...trials.value.map((t) => t.trial.speedRpm)) * farthestFactor;
  const rated = mill.value?.mill.ratedSpeedRpm ?? Number.POSITIVE_INFINITY;
  const at = speeds.map((speed) => {
    if (speed > Math.min(rated, trials.value.length > 0 ? fastest : rated)) return null;
    const setting = { speedRpm: speed, flowM3PerH: flowM3PerH.value, feedKgPerH: feedKgPerH.value };
    return {
      inner: predictD50(known, setting, ribbonLevels.inner),
      outer: predictD50(known, setting, ribbonLevels.outer),
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
