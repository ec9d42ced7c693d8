import { normalDeviate } from "#distributions/families/normalDeviate.ts";
import { normalForm } from "#distributions/families/normalForm.ts";
import { itemAt, maxOf, minOf } from "#distributions/lists.ts";
import { apartValues } from "#model/numbers/apartValues.ts";
import { mixtureQuantile } from "#model/numbers/normalMixture.ts";
import { figures } from "#model/words/wording.ts";
import type { Mill } from "../mill.ts";
import type { Prediction } from "./posterior.ts";
import { farthestFactor, speedLimits } from "./setPoint.ts";
import { predictionAt, type Setting, type TrialFit } from "./trialFit.ts";

/** Why a number is not given, and what would help. */
export interface Refusal {
  readonly what: "d50Um" | "speedRpm";
  readonly reason: string;
  readonly remedy: string;
}

export type Reason = Omit<Refusal, "what">;

export const noReference: Reason = {
  reason: "there are neither trials nor a rated speed",
  remedy: "Enter the rated speed from the machine's plate, or a trial.",
};

export const noRating: Reason = {
  reason: "no rated speed is entered for this mill",
  remedy: "Take the rating from the machine's plate, or from the limit your engineer set.",
};

/** |z| of a trial against all others beyond which the trials contradict each other. A judgement of ours. */
const oddTrialZ = 3.5;
/** Of so many sound trials as seldom one lies beyond; of more, each must lie farther, or 200 are refused one time in ten. */
const trialsForOddZ = 12;

function oddZOf(trials: number): number {
  const each = normalForm.undersize(-oddTrialZ);
  return Math.max(oddTrialZ, -normalDeviate((each * trialsForOddZ) / Math.max(trials, 1)));
}

/**
 * How far a trial must stand apart from the others of its side, in their own steps: of sound sets at most 5 % have one beyond,
 * with tails as heavy as Student's t of four degrees and with exponential ones (simulated, docs/validation.md). Of so few
 * trials as come first the limit of z alone holds that.
 */
const oddGaps: readonly (readonly [trials: number, gap: number])[] = [
  [9, 0],
  [10, 3],
  [15, 6.4],
  [30, 6.7],
  [40, 7.4],
  [100, 8.3],
];

function oddGapOf(trials: number): number {
  const above = oddGaps.findIndex(([to]) => trials <= to);
  const [to, gap] = itemAt(oddGaps, above);
  const [from, before] = itemAt(oddGaps, Math.max(0, above - 1));
  return above <= 0 ? gap : before + ((gap - before) * (trials - from)) / (to - from);
}

const whole = (value: number) => Math.round(value).toLocaleString("en-GB");

/** The rated speed is a wall, whatever the trials say. */
export function aboveRated(mill: Mill, speedRpm: number): Reason | null {
  if (mill.ratedSpeedRpm === null || speedRpm <= mill.ratedSpeedRpm) return null;
  return {
    reason: `${whole(speedRpm)} rpm is above the rated ${whole(mill.ratedSpeedRpm)} rpm`,
    remedy: "Stay at or below the rating on the machine's plate; ask its maker or your engineer first.",
  };
}

/** A trial that the others contradict must be checked before any of them is used. */
export function oddTrial(fit: TrialFit): Reason | null {
  return contradicting(fit.leaveOneOutZ, (i) => {
    const trial = itemAt(fit.trials, i);
    return `${whole(trial.speedRpm)} rpm, D50 ${trial.d50Um} µm`;
  });
}

/**
 * The trial, if any, that lies beyond what scatter explains, and apart from the others whatever the shape of their scatter.
 * @param z     leave-one-out z of each trial
 * @param said  a trial in words
 * Accuracy: called in at most 5 % of sound sets, under skewed and heavy-tailed scatter too (docs/validation.md).
 */
export function contradicting(z: readonly number[], said: (index: number) => string): Reason | null {
  if (z.length < 3) return null;
  const [least, gap] = [oddZOf(z.length), oddGapOf(z.length)];
  const odd = apartValues(z)
    .filter((one) => one.gap > gap && Math.abs(itemAt(z, one.at)) > least)
    .map(({ at }) => ({ at, far: Math.abs(itemAt(z, at)) }));
  if (odd.length === 0) return null;
  const worst = odd.reduce((a, b) => (b.far > a.far ? b : a));
  return {
    reason: `trial ${worst.at + 1} (${said(worst.at)}) contradicts the others by ${worst.far.toFixed(1)} standard deviations`,
    remedy: "Check its settings and measurement; correct or exclude it.",
  };
}

interface Factor {
  readonly name: string;
  readonly unit: string;
  readonly value: number;
  readonly tried: readonly number[];
}

function factorsOf(fit: TrialFit, setting: Setting): Factor[] {
  const feed = setting.feedKgPerH;
  return [
    { name: "speed", unit: "rpm", value: setting.speedRpm, tried: fit.trials.map((t) => t.speedRpm) },
    {
      name: "gas flow",
      unit: "m³/h",
      value: setting.flowM3PerH,
      tried: fit.trials.flatMap((t) => t.gasFlowM3PerH ?? []),
    },
    ...(feed === null
      ? []
      : [{ name: "feed", unit: "kg/h", value: feed, tried: fit.trials.flatMap((t) => t.feedKgPerH ?? []) }]),
  ];
}

/** How far outside the range tried: 1 within it. */
function factorOutside({ value, tried }: Factor): number {
  if (tried.length === 0) return 1;
  return Math.max(1, value / maxOf(tried), minOf(tried) / value);
}

/** The regression is not trusted more than 1.5 times outside the trials. */
export function tooFarOutside(fit: TrialFit, setting: Setting): Reason | null {
  const far = factorsOf(fit, setting).find((f) => factorOutside(f) > farthestFactor * (1 + 1e-12));
  if (far === undefined) return null;
  return {
    reason: `the ${far.name} of ${whole(far.value)} ${far.unit} lies a factor of ${factorOutside(far).toFixed(2)} outside your trials (${whole(minOf(far.tried))}–${whole(maxOf(far.tried))} ${far.unit})`,
    remedy: `Run a trial nearer to it first; predictions reach a factor of ${farthestFactor} beyond the trials.`,
  };
}

/** A size that the user knows the powder does not break below. */
export function belowGrindingLimit(mill: Mill, medianUm: number): Reason | null {
  const limit = mill.grindingLimitUm ?? null;
  return limit === null || medianUm >= limit
    ? null
    : {
        reason: `D50 ${Number(medianUm.toPrecision(3))} µm is below the grinding limit of ${limit} µm entered for this mill`,
        remedy: "Choose a coarser target, or change the limit if trials were finer.",
      };
}

/** Why no speed within the limits gives a target: it lies beyond the fast end, or beyond the slow one. */
export function notReached(
  fit: TrialFit,
  targetUm: number,
  at: Omit<Setting, "speedRpm">,
  ratedSpeedRpm: number,
  d50At: (setting: Setting) => Prediction = (setting) => predictionAt(fit, setting),
): Reason {
  const { lowestRpm, highestRpm } = speedLimits(fit, ratedSpeedRpm);
  const finest =
    highestRpm > lowestRpm
      ? Math.exp(mixtureQuantile(d50At({ ...at, speedRpm: highestRpm }), 0.5))
      : Number.POSITIVE_INFINITY;
  const target = `D50 ${Number(targetUm.toPrecision(3))} µm`;
  return finest > targetUm
    ? {
        reason: `${target} is not reached at ${whole(highestRpm)} rpm, ${highestRpm >= ratedSpeedRpm ? "the rated speed" : `${farthestFactor} times the fastest trial`}`,
        remedy:
          "Lower the gas flow or the feed, run faster trials within the rating, or choose a coarser target.",
      }
    : {
        reason: `${target} needs less than ${whole(lowestRpm)} rpm, which is too far below your trials`,
        remedy: "Run a slower trial first, or choose a finer target.",
      };
}

/** So little outside the trials is said as it is, without calling it an extrapolation. A judgement of ours. */
const slightlyOutsidePercent = 5;

/** Below this the trials and the setting are the same number. */
const samePercent = 0.05;

/** "This is an extrapolation: the speed is 12 % above the highest of your trials."; null within them. */
export function extrapolationText({ name, value, tried }: Omit<Factor, "unit">): string | null {
  if (tried.length === 0) return null;
  const above = 100 * (value / maxOf(tried) - 1);
  const below = 100 * (1 - value / minOf(tried));
  const percent = Math.max(above, below);
  if (percent < samePercent) return null;
  const said = `${figures(percent, 2)} % ${above > below ? "above the highest" : "below the lowest"} of your trials`;
  return percent < slightlyOutsidePercent
    ? `The ${name} is ${said}.`
    : `This is an extrapolation: the ${name} is ${said}.`;
}

/** What the reader should know of a prediction that is given all the same. */
export function warningsAt(
  fit: TrialFit,
  hasGrindingLimit: boolean,
  setting: Setting | null,
  medianUm: number | null,
): string[] {
  const warnings: string[] = [];
  if (fit.basis === "prior")
    warnings.push(
      "There are no trials yet: the prediction rests on the calculated cut and a wide starting assumption (prior). One trial adapts it to your mill.",
    );
  const speeds = new Set(fit.trials.map((t) => t.speedRpm));
  if (speeds.size === 1)
    warnings.push(
      "All trials ran at one speed, so the effect of speed on D50 comes from the starting assumption (prior), not from your trials.",
    );
  // Beyond what is predicted at all the refusal says it.
  if (setting !== null && tooFarOutside(fit, setting) === null)
    warnings.push(...factorsOf(fit, setting).flatMap((factor) => extrapolationText(factor) ?? []));
  const finest = minOf(fit.trials.map((t) => t.d50Um));
  if (!hasGrindingLimit && medianUm !== null && fit.trials.length > 0 && medianUm < 0.7 * finest) {
    warnings.push(
      "The predicted D50 is below 0.7 times your finest product: the grinding limit may lie there, whatever the wheel speed.",
    );
  }
  return warnings;
}
