import { DomainError } from "#distributions/domainError.ts";
import { geometricMean } from "#model/numbers/geometricMean.ts";
import { dot } from "#model/numbers/kernels/vectors.ts";
import { mixtureQuantile } from "#model/numbers/normalMixture.ts";
import type { Mill } from "../mill.ts";
import { wheelCut } from "../wheel/cut.ts";
import { weightedMean } from "./kernels/mixtures.ts";
import { leaveOneOutZ } from "./leaveOneOut.ts";
import {
  type CoefficientPrior,
  type NoisePrior,
  type Posterior,
  type Prediction,
  posteriorOf,
  predict,
  type RegressionPoint,
} from "./posterior.ts";
import { curvaturePrior, type Priors, usualPriors } from "./priors.ts";
import type { Trial } from "./trial.ts";
import { fitWidths, type WidthLaws, widthPriorsOf } from "./widthLaws.ts";

/** A setting of the mill. */
export interface Setting {
  readonly speedRpm: number;
  readonly flowM3PerH: number;
  /** null where the feed is not known: taken as the trials' own. */
  readonly feedKgPerH: number | null;
}

/** ln D50 = a + b ln(n/n_ref) + c ln(Q/Q_ref) + d ln(F/F_ref) + e ln²(n/n_ref), learned from trials; references are geometric means. */
export interface TrialFit extends WidthLaws {
  readonly basis: "trials" | "prior";
  readonly trials: readonly Trial[];
  readonly reference: Setting;
  readonly priors: Priors;
  readonly posterior: Posterior;
  /** Leave-one-out z of each trial; empty below three trials. */
  readonly leaveOneOutZ: readonly number[];
}

/** The prior of the run noise: half of Student's t with one degree, so that no noise is ruled out by it. */
export function noisePriorOf({ noise }: Pick<Priors, "noise">): NoisePrior {
  return { of: "half t", degrees: 1, scale: noise };
}

/**
 * Learns how speed, flow and feed move D50. Done once for a set of trials; predictions from it are cheap.
 * A trial without a flow or feed is taken to have run at the reference.
 *
 * @throws DomainError  no trials and no rated speed: nothing to refer to
 * Source: docs/science.md.
 */
export function fitTrials(mill: Mill, trials: readonly Trial[], priors: Priors = usualPriors): TrialFit {
  const reference = referenceOf(mill, trials);
  const { cutUm } = wheelCut(mill, reference.speedRpm, reference.flowM3PerH);
  const coefficientPriors: CoefficientPrior[] = [
    { mean: Math.log(priors.medianOverCut * cutUm), sd: priors.medianSd },
    priors.speed,
    priors.flow,
    priors.feed,
    curvaturePrior,
  ];
  const points = trials.map((t) => ({
    row: rowOf(settingOf(t, reference), reference),
    y: Math.log(t.d50Um),
  }));
  const learnedFrom = (from: readonly RegressionPoint[], by: readonly CoefficientPrior[]) =>
    posteriorOf(
      from.map((point) => point.row),
      from.map((point) => point.y),
      by,
      noisePriorOf(priors),
    );
  const learned = (from: readonly RegressionPoint[]) => learnedFrom(from, coefficientPriors);
  const posterior = learned(points);
  const widths = fitWidths(points, trials, meanExponents(posterior), (from) =>
    learnedFrom(from, widthPriorsOf(priors)),
  );
  return {
    basis: trials.length > 0 ? "trials" : "prior",
    trials,
    reference,
    priors,
    posterior,
    ...widths,
    leaveOneOutZ: leaveOneOutZ(points, learned),
  };
}

/** Where a trial ran; what was not noted is taken to be the reference. */
export function settingOf(trial: Trial, reference: Setting): Setting {
  return {
    speedRpm: trial.speedRpm,
    flowM3PerH: trial.gasFlowM3PerH ?? reference.flowM3PerH,
    feedKgPerH: trial.feedKgPerH ?? reference.feedKgPerH,
  };
}

function referenceOf(mill: Mill, trials: readonly Trial[]): Setting {
  const speedRpm =
    geometricMean(trials.map((t) => t.speedRpm)) ??
    (mill.ratedSpeedRpm === null ? null : mill.ratedSpeedRpm / 2);
  if (speedRpm === null)
    throw new DomainError("ratedSpeedRpm", "must be known where there are no trials", null);
  return {
    speedRpm,
    flowM3PerH: geometricMean(trials.flatMap((t) => t.gasFlowM3PerH ?? [])) ?? mill.gasFlowM3PerH,
    feedKgPerH: geometricMean(trials.flatMap((t) => t.feedKgPerH ?? [])),
  };
}

/** The factors of a setting as the law sees them: 1, the logarithms over the reference, and the square of that of speed. */
export function rowOf(setting: Setting, reference: Setting): number[] {
  const feed =
    setting.feedKgPerH === null || reference.feedKgPerH === null
      ? 1
      : setting.feedKgPerH / reference.feedKgPerH;
  const lnSpeed = Math.log(setting.speedRpm / reference.speedRpm);
  return [1, lnSpeed, Math.log(setting.flowM3PerH / reference.flowM3PerH), Math.log(feed), lnSpeed ** 2];
}

/** What one further run at a setting would give, as ln D50 in µm. */
export function predictionAt(fit: TrialFit, setting: Setting): Prediction {
  return predict(fit.posterior, rowOf(setting, fit.reference));
}

/**
 * What a trial's D50 would have been at another gas flow and feed, by the law's mean exponents: so that trials run
 * at different flows can stand beside one line. Its own speed stays.
 */
export function d50MovedTo(fit: TrialFit, trial: Trial, at: Omit<Setting, "speedRpm">): number {
  const own = rowOf(settingOf(trial, fit.reference), fit.reference);
  const there = rowOf({ ...at, speedRpm: trial.speedRpm }, fit.reference);
  const exponents = meanExponents(fit.posterior);
  const step = dot(there, exponents) - dot(own, exponents);
  return trial.d50Um * Math.exp(step);
}

/** The posterior mean of each coefficient. */
export function meanExponents({ components }: Posterior): Float64Array {
  return weightedMean(
    components.map((c) => c.weight),
    components.map((c) => c.mean),
  );
}

export interface SizeInterval {
  readonly median: number;
  readonly low: number;
  readonly high: number;
  readonly level: number;
}

/** D50 of one further run at a setting, with its prediction interval, µm. */
export function predictD50(fit: TrialFit, setting: Setting, level: number): SizeInterval {
  return intervalOf(predictionAt(fit, setting), level);
}

/** The middle and the two-sided interval of a prediction of ln size, µm. */
export function intervalOf(prediction: Prediction, level: number): SizeInterval {
  const at = (p: number) => Math.exp(mixtureQuantile(prediction, p));
  return { median: at(0.5), low: at((1 - level) / 2), high: at((1 + level) / 2), level };
}
