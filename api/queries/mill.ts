import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import { curveOf } from "#distributions/curve.ts";
import type { Problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { circuitAnswer } from "#model/answers/mill/circuitAnswer.ts";
import { pressureAnswer } from "#model/answers/mill/pressureAnswer.ts";
import { wheelAnswer } from "#model/answers/mill/wheelAnswer.ts";
import type { Band } from "#model/band/band.ts";
import type { Circuit } from "#model/mill/grinding/circuit.ts";
import type { Mill } from "#model/mill/mill.ts";
import type { RefiringPair } from "#model/mill/prediction/refiringGrowth.ts";
import type { PressureTrial } from "#model/mill/pressure/pressureRegression.ts";
import type { Priors } from "#model/mill/trials/priors.ts";
import type { Trial } from "#model/mill/trials/trial.ts";
import { curvesByVolume } from "#model/mill/trials/trialCurves.ts";
import { type Given, numberOption } from "./options.ts";

/** What the wheel is asked about beyond its options. */
export interface WheelAsked {
  readonly mill: Mill;
  readonly trials: readonly Trial[];
  readonly band: Band | undefined;
  readonly refire: readonly RefiringPair[];
  /** Whole curves of the trials' products, of any quantity. */
  readonly curves?: readonly NamedMeasurement[];
  readonly believed?: Priors;
  readonly problems: readonly Problem[];
}

export function askWheel(
  { mill, trials, band, refire, curves = [], believed, problems }: WheelAsked,
  given: Given,
) {
  const turned = curvesByVolume(curves);
  const answer = wheelAnswer(mill, trials, {
    refire,
    curves: turned.curves.map((m) => curveOf(m.distribution)),
    ...withoutUndefined({ believed }),
    ...withoutUndefined({
      band,
      speedRpm: numberOption(given, "speed"),
      flowM3PerH: numberOption(given, "flow"),
      feedKgPerH: numberOption(given, "feed"),
      targetD50Um: numberOption(given, "target-d50"),
      level: numberOption(given, "level", { above: 0, below: 1 }),
    }),
  });
  return { ...answer, problems: [...problems, ...turned.problems, ...answer.problems] };
}

/** A mill without a wheel. @param read  its trials, and what was said while reading */
export function askPressure(
  read: { readonly trials: readonly PressureTrial[]; readonly problems: readonly Problem[] },
  given: Given,
) {
  const answer = pressureAnswer(read.trials, {
    pressureBar: numberOption(given, "pressure") ?? null,
    feedKgPerH: numberOption(given, "feed") ?? null,
    targetD50Um: numberOption(given, "target-d50") ?? null,
    ratedBar: numberOption(given, "rated") ?? null,
  });
  return { ...answer, problems: [...read.problems, ...answer.problems] };
}

/** The steady product, or nulls where the circuit could not be read. */
export function askCircuit({ circuit, problems }: { circuit: Circuit | null; problems: readonly Problem[] }) {
  if (circuit === null) {
    return {
      percentilesUm: null,
      edgesUm: null,
      shares: null,
      meanResidenceS: null,
      recycle: null,
      load: null,
      stuckAtUm: null,
      sentence: "Nothing was calculated: the circuit cannot be read.",
      problems,
    };
  }
  const answer = circuitAnswer(circuit);
  return { ...answer, problems: [...problems, ...answer.problems] };
}
