import { maxOf, minOf } from "#distributions/lists.ts";
import { evenSteps } from "#model/numbers/evenSteps.ts";
import { dot, quadratic, times } from "#model/numbers/kernels/vectors.ts";
import { lessByOne } from "./kernels/lessByOne.ts";
import type { Posterior } from "./posterior.ts";
import { speedLimits } from "./setPoint.ts";
import { rowOf, type Setting, type TrialFit } from "./trialFit.ts";

/** The trial that would teach most about the product at a target setting. */
export interface NextTrial extends Setting {
  /** Width of the D50 curve's interval at the target afterwards, over that now. */
  readonly narrowing: number;
  /** The same after three trials so advised, over three spread evenly over the permitted speeds. */
  readonly againstEven: number;
  /** Whether that is enough better to be worth following: 15 % at or beyond the edge of what was tried, no loss inside it. */
  readonly isWorth: boolean;
}

/** Speeds that are weighed. */
const candidates = 60;
const ahead = 3;

/** Over an even spread: what advice must bring at the edge, and may cost inside. Source: issue of the mill, bounds agreed there. */
const maxAtEdge = 0.85;
const maxInside = 1.02;

/**
 * The speed, at the target's own gas flow and feed, at which one more trial most shrinks the interval of the D50 **curve**
 * (no run noise) at the target: a prediction interval cannot shrink below the noise.
 * Within the rated speed and 1.5 times the trials; for a target among the trials no farther from them than it takes to span
 * a factor of two in speed.
 *
 * @returns null where no speed is permitted
 * Source: a normal law's covariance after one more observation does not depend on what is observed (textbook); docs/science.md.
 */
export function nextTrial(fit: TrialFit, target: Setting, ratedSpeedRpm: number): NextTrial | null {
  const { lowestRpm, highestRpm } = speedsAdvised(fit, target, ratedSpeedRpm);
  if (!(highestRpm > lowestRpm)) return null;
  const at = rowOf(target, fit.reference);
  const permitted = evenSteps(Math.log(lowestRpm), Math.log(highestRpm), candidates).map((ln) =>
    Math.exp(ln),
  );
  const rowAt = (speedRpm: number) => rowOf({ ...target, speedRpm }, fit.reference);
  const best = (posterior: Posterior) =>
    permitted
      .map((speedRpm) => ({ speedRpm, sd: meanSd(afterTrial(posterior, rowAt(speedRpm)), at) }))
      .reduce((a, b) => (b.sd < a.sd ? b : a));
  const first = best(fit.posterior);
  let advised = fit.posterior;
  for (let i = 0; i < ahead; i++) advised = afterTrial(advised, rowAt(best(advised).speedRpm));
  const even = evenSteps(Math.log(lowestRpm), Math.log(highestRpm), ahead).reduce(
    (posterior, ln) => afterTrial(posterior, rowAt(Math.exp(ln))),
    fit.posterior,
  );
  const againstEven = meanSd(advised, at) / meanSd(even, at);
  return {
    ...target,
    speedRpm: first.speedRpm,
    narrowing: first.sd / meanSd(fit.posterior, at),
    againstEven,
    isWorth: againstEven <= (isAmongTrials(fit, target) ? maxInside : maxAtEdge),
  };
}

/** Whether a target lies between the slowest and the fastest trial, and not at the speed of either. */
function isAmongTrials({ trials }: TrialFit, { speedRpm }: Setting): boolean {
  const speeds = trials.map((t) => t.speedRpm);
  return speeds.length > 0 && speedRpm > minOf(speeds) * 1.001 && speedRpm < maxOf(speeds) / 1.001;
}

/** Speeds a factor of two apart show how D50 goes with speed; beyond, a trial makes powder nobody asked for. A judgement of ours. */
const spanSought = 2;

/** The permitted speeds that a trial is advised at. */
export function speedsAdvised(
  fit: TrialFit,
  target: Setting,
  ratedSpeedRpm: number,
): ReturnType<typeof speedLimits> {
  const permitted = speedLimits(fit, ratedSpeedRpm);
  if (!isAmongTrials(fit, target)) return permitted;
  const speeds = fit.trials.map((t) => t.speedRpm);
  const [slowest, fastest] = [minOf(speeds), maxOf(speeds)];
  const beyond = Math.sqrt(Math.max((spanSought * slowest) / fastest, 1));
  return {
    lowestRpm: Math.max(permitted.lowestRpm, slowest / beyond),
    highestRpm: Math.min(permitted.highestRpm, fastest * beyond),
  };
}

/** Mean over the noise of the curve's standard deviation at a row. */
function meanSd({ components }: Posterior, at: readonly number[]): number {
  return components.reduce(
    (sum, { weight, covariance }) => sum + weight * Math.sqrt(Math.max(quadratic(covariance, at), 0)),
    0,
  );
}

/** What one more trial leaves of the covariances: Σ − Σz zᵀΣ/(σ² + zᵀΣz). The means, which it would move, stay. */
function afterTrial({ components }: Posterior, row: readonly number[]): Posterior {
  return {
    components: components.map((c) => {
      const reached = times(c.covariance, row);
      return { ...c, covariance: lessByOne(c.covariance, reached, c.sigma ** 2 + dot(row, reached)) };
    }),
  };
}
