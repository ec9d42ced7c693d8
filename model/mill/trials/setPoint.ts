import { bisected } from "#distributions/bisection.ts";
import { maxOf, minOf } from "#distributions/lists.ts";
import { chanceBelow } from "#model/numbers/normalMixture.ts";
import type { Prediction } from "./posterior.ts";
import { predictionAt, type Setting, type TrialFit } from "./trialFit.ts";

/** How far outside the trials a law may be trusted before it is refused. A judgement of ours. */
export const farthestFactor = 1.5;

export interface SpeedLimits {
  readonly lowestRpm: number;
  readonly highestRpm: number;
}

export interface SuggestedSpeed {
  readonly median: number;
  /** Here the share (1 − level)/2 of runs would already be at the target or finer; null beyond the limits. */
  readonly low: number | null;
  /** Here the share (1 + level)/2 of runs would be; null beyond the limits. */
  readonly high: number | null;
  readonly level: number;
  /** Chance that a run at the rated speed comes out at the target or finer. */
  readonly reachProbability: number;
}

export interface FlowLimits {
  readonly lowestM3PerH: number;
  readonly highestM3PerH: number;
}

/** Gas flows at which the trials may be believed; the mill's own where none was noted. */
export function flowLimits(fit: TrialFit): FlowLimits {
  const flows = fit.trials.flatMap((t) => t.gasFlowM3PerH ?? []);
  if (flows.length === 0)
    return { lowestM3PerH: fit.reference.flowM3PerH, highestM3PerH: fit.reference.flowM3PerH };
  return {
    lowestM3PerH: minOf(flows) / farthestFactor,
    highestM3PerH: maxOf(flows) * farthestFactor,
  };
}

/** Speeds at which the trials may be believed, never above the rated one. */
export function speedLimits(fit: TrialFit, ratedSpeedRpm: number): SpeedLimits {
  const speeds = fit.trials.map((t) => t.speedRpm);
  if (speeds.length === 0) return { lowestRpm: ratedSpeedRpm / 10, highestRpm: ratedSpeedRpm };
  return {
    lowestRpm: minOf(speeds) / farthestFactor,
    highestRpm: Math.min(ratedSpeedRpm, maxOf(speeds) * farthestFactor),
  };
}

/**
 * The speed at which the median D50 crosses a target; its interval is where the low and high curves cross it.
 *
 * @param d50At  ln D50 of one further run at a setting, re-fired where the target is for the re-fired powder
 * @returns null where the median does not cross the target within the limits
 */
export function speedForD50(
  fit: TrialFit,
  targetUm: number,
  at: Omit<Setting, "speedRpm">,
  ratedSpeedRpm: number,
  level: number,
  d50At: (setting: Setting) => Prediction = (setting) => predictionAt(fit, setting),
): SuggestedSpeed | null {
  const limits = speedLimits(fit, ratedSpeedRpm);
  const atSpeed = (speedRpm: number) => d50At({ ...at, speedRpm });
  const crossing = (p: number) => crossingSpeed(atSpeed, Math.log(targetUm), limits, p);
  const median = crossing(0.5);
  if (median === null) return null;
  return {
    median,
    low: crossing((1 - level) / 2),
    high: crossing((1 + level) / 2),
    level,
    reachProbability: chanceBelow(atSpeed(ratedSpeedRpm), Math.log(targetUm)),
  };
}

/** The speed at which a chance p of runs lies at the target or finer; null where no speed within the limits does. */
function crossingSpeed(
  atSpeed: (speedRpm: number) => Prediction,
  target: number,
  limits: SpeedLimits,
  p: number,
): number | null {
  const isTooFew = (lnSpeed: number) => chanceBelow(atSpeed(Math.exp(lnSpeed)), target) < p;
  const [low, high] = [Math.log(limits.lowestRpm), Math.log(limits.highestRpm)];
  // Faster is finer: too few at the slow end, enough at the fast end, or there is no crossing.
  if (!(high > low) || chanceBelow(atSpeed(limits.lowestRpm), target) > p || isTooFew(high)) return null;
  return Math.exp(bisected(low, high, 1e-9, isTooFew));
}
