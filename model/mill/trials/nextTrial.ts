import { evenSteps } from "#model/pictures/scale.ts";
import type { Posterior } from "./posterior.ts";
import { speedLimits } from "./setPoint.ts";
import { rowOf, type Setting, type TrialFit } from "./trialFit.ts";

/** The trial that would teach most about the product at a target setting. */
export interface NextTrial extends Setting {
  /** Width of the D50 curve's interval at the target afterwards, over that now. */
  readonly narrowing: number;
}

/** Speeds that are weighed. */
const candidates = 60;

/**
 * The speed, at the target's own gas flow and feed, at which one more trial most shrinks the interval of the D50 **curve**
 * (no run noise) at the target: a prediction interval cannot shrink below the noise.
 * Within the rated speed and 1.5 times the trials.
 *
 * @returns null where no speed is permitted
 * Source: a normal law's covariance after one more observation does not depend on what is observed (textbook); MODEL §9.
 */
export function nextTrial(fit: TrialFit, target: Setting, ratedSpeedRpm: number): NextTrial | null {
  const { lowestRpm, highestRpm } = speedLimits(fit, ratedSpeedRpm);
  if (!(highestRpm > lowestRpm)) return null;
  const at = rowOf(target, fit.reference);
  const now = meanSd(fit.posterior, at, null);
  const tried = evenSteps(Math.log(lowestRpm), Math.log(highestRpm), candidates).map((ln) => {
    const setting = { ...target, speedRpm: Math.exp(ln) };
    return { ...setting, narrowing: meanSd(fit.posterior, at, rowOf(setting, fit.reference)) / now };
  });
  return tried.reduce((best, next) => (next.narrowing < best.narrowing ? next : best));
}

/** Mean over the noise of the curve's standard deviation at a row, before or after one more trial at another. */
function meanSd({ components }: Posterior, at: readonly number[], more: readonly number[] | null): number {
  let sum = 0;
  for (const { weight, sigma, covariance } of components) {
    const variance = between(covariance, at, at);
    const gained =
      more === null ? 0 : between(covariance, at, more) ** 2 / (sigma ** 2 + between(covariance, more, more));
    sum += weight * Math.sqrt(Math.max(variance - gained, 0));
  }
  return sum;
}

function between(
  covariance: readonly (readonly number[])[],
  a: readonly number[],
  b: readonly number[],
): number {
  let sum = 0;
  for (const [i, x] of a.entries()) {
    const row = covariance[i];
    if (x === 0 || row === undefined) continue;
    for (const [j, y] of b.entries()) sum += x * y * (row[j] ?? 0);
  }
  return sum;
}
