import { chanceBelow, predictionQuantile } from "./posterior.ts";
import { predictionAt, type Setting, type TrialFit } from "./trialFit.ts";

/** How far outside the trials a law may be trusted before it is refused. A judgement of ours. */
export const farthestFactor = 1.5;

export interface SpeedLimits {
  readonly lowestRpm: number;
  readonly highestRpm: number;
}

export interface SuggestedSpeed {
  readonly median: number;
  /** Null where the interval runs beyond the limits. */
  readonly low: number | null;
  readonly high: number | null;
  readonly level: number;
  /** Chance that a run at the rated speed comes out at the target or finer. */
  readonly reachProbability: number;
}

/** Speeds at which the trials may be believed, never above the rated one. */
export function speedLimits(fit: TrialFit, ratedSpeedRpm: number): SpeedLimits {
  const speeds = fit.trials.map((t) => t.speedRpm);
  if (speeds.length === 0) return { lowestRpm: ratedSpeedRpm / 10, highestRpm: ratedSpeedRpm };
  return {
    lowestRpm: Math.min(...speeds) / farthestFactor,
    highestRpm: Math.min(ratedSpeedRpm, Math.max(...speeds) * farthestFactor),
  };
}

/**
 * The speed at which the median D50 crosses a target; its interval is where the low and high curves cross it.
 * @returns null where the median does not cross the target within the limits
 */
export function speedForD50(
  fit: TrialFit,
  targetUm: number,
  at: Omit<Setting, "speedRpm">,
  ratedSpeedRpm: number,
  level: number,
): SuggestedSpeed | null {
  const limits = speedLimits(fit, ratedSpeedRpm);
  const crossing = (p: number) => crossingSpeed(fit, Math.log(targetUm), at, limits, p);
  const median = crossing(0.5);
  if (median === null) return null;
  return {
    median,
    low: crossing((1 - level) / 2),
    high: crossing((1 + level) / 2),
    level,
    reachProbability: chanceBelow(predictionAt(fit, { ...at, speedRpm: ratedSpeedRpm }), Math.log(targetUm)),
  };
}

function crossingSpeed(
  fit: TrialFit,
  target: number,
  at: Omit<Setting, "speedRpm">,
  limits: SpeedLimits,
  p: number,
): number | null {
  const excess = (lnSpeed: number) =>
    predictionQuantile(predictionAt(fit, { ...at, speedRpm: Math.exp(lnSpeed) }), p) - target;
  let low = Math.log(limits.lowestRpm);
  let high = Math.log(limits.highestRpm);
  // Faster is finer: above the target at the slow end, below it at the fast end, or there is no crossing.
  if (!(high > low) || excess(low) < 0 || excess(high) > 0) return null;
  while (high - low > 1e-9) {
    const mid = (low + high) / 2;
    if (excess(mid) > 0) low = mid;
    else high = mid;
  }
  return Math.exp((low + high) / 2);
}
