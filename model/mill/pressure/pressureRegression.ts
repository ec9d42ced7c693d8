import { bisected } from "#distributions/bisection.ts";
import { maxOf, minOf } from "#distributions/lists.ts";
import { leaveOneOutZ } from "#model/mill/trials/leaveOneOut.ts";
import {
  type Posterior,
  type Prediction,
  posteriorOf,
  predict,
  type RegressionPoint,
} from "#model/mill/trials/posterior.ts";
import type { NormalPrior } from "#model/mill/trials/priors.ts";
import { farthestFactor } from "#model/mill/trials/setPoint.ts";
import { noisePriorOf } from "#model/mill/trials/trialFit.ts";
import { geometricMean } from "#model/numbers/geometricMean.ts";
import { mixtureQuantile } from "#model/numbers/normalMixture.ts";

/** A run of a jet mill without a wheel: only pressure and feed can be set. */
export interface PressureTrial {
  /** Gauge, before the nozzles. */
  readonly pressureBar: number;
  readonly feedKgPerH: number | null;
  readonly d50Um: number;
}

/** ln D50 = a + b ln(p/p_ref) + c ln(F/F_ref); references are geometric means of the trials. */
export interface PressureRegression {
  readonly trials: readonly PressureTrial[];
  readonly referenceBar: number;
  readonly referenceKgPerH: number | null;
  readonly posterior: Posterior;
  /** Leave-one-out z of each trial; empty below three trials. */
  readonly leaveOneOutZ: readonly number[];
}

/** Exponents of D50 before any trial. */
export interface PressurePriors {
  readonly pressure: NormalPrior;
  readonly feed: NormalPrior;
}

/** Judgements of ours, shown as such: harder jets grind finer, more feed coarser; nothing is believed of the size itself. */
export const pressurePriors: PressurePriors = {
  pressure: { mean: -0.5, sd: 0.5 },
  feed: { mean: 0.15, sd: 0.15 },
};
const noise = noisePriorOf({ noise: 0.1 });

/** @returns null without a trial: there is no physics to stand in for one. Source: docs/science.md#regression-of-trials. */
export function pressureRegression(
  trials: readonly PressureTrial[],
  priors: PressurePriors = pressurePriors,
): PressureRegression | null {
  const referenceBar = geometricMean(trials.map((t) => t.pressureBar));
  if (referenceBar === null) return null;
  const referenceKgPerH = geometricMean(trials.flatMap((t) => t.feedKgPerH ?? []));
  const of = { trials, referenceBar, referenceKgPerH };
  const points = trials.map((t) => ({
    row: rowOf(of, t.pressureBar, t.feedKgPerH),
    y: Math.log(t.d50Um),
  }));
  const learned = (from: readonly RegressionPoint[]) =>
    posteriorOf(
      from.map((point) => point.row),
      from.map((point) => point.y),
      [{ mean: 0, sd: null }, priors.pressure, priors.feed],
      noise,
    );
  return { ...of, posterior: learned(points), leaveOneOutZ: leaveOneOutZ(points, learned) };
}

function rowOf(
  of: Pick<PressureRegression, "referenceBar" | "referenceKgPerH">,
  pressureBar: number,
  feedKgPerH: number | null,
): number[] {
  const feed =
    feedKgPerH === null || of.referenceKgPerH === null ? 0 : Math.log(feedKgPerH / of.referenceKgPerH);
  return [1, Math.log(pressureBar / of.referenceBar), feed];
}

/** What one further run at a setting would give, as ln D50 in µm. */
export function atPressure(
  regression: PressureRegression,
  pressureBar: number,
  feedKgPerH: number | null,
): Prediction {
  return predict(regression.posterior, rowOf(regression, pressureBar, feedKgPerH));
}

/** Pressures at which the trials may be believed, never above what is permitted. */
export function pressureLimits(
  { trials }: PressureRegression,
  highestBar: number,
): { readonly lowestBar: number; readonly highestBar: number } {
  const tried = trials.map((t) => t.pressureBar);
  return {
    lowestBar: minOf(tried) / farthestFactor,
    highestBar: Math.min(highestBar, maxOf(tried) * farthestFactor),
  };
}

/**
 * The pressure at which a share of runs reaches a D50.
 *
 * @param wanted  the D50, and the share of runs that come out at that size or finer, 0 … 1
 * @returns      null where no pressure within the limits does
 */
export function pressureForD50(
  regression: PressureRegression,
  { d50Um, share }: { readonly d50Um: number; readonly share: number },
  { feedKgPerH, ratedBar }: { readonly feedKgPerH: number | null; readonly ratedBar: number },
): number | null {
  const limits = pressureLimits(regression, ratedBar);
  const target = Math.log(d50Um);
  const isCoarser = (ln: number) =>
    mixtureQuantile(atPressure(regression, Math.exp(ln), feedKgPerH), share) > target;
  const [low, high] = [Math.log(limits.lowestBar), Math.log(limits.highestBar)];
  // Harder is finer: too coarse at the soft end, fine enough at the hard end, or there is no crossing.
  if (!(high > low) || !isCoarser(low) || isCoarser(high)) return null;
  return Math.exp(bisected(low, high, 1e-9, isCoarser));
}
