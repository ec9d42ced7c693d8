import type { z } from "@hono/zod-openapi";
import * as shapes from "#api/contract/millAnswers.ts";
import { nothingOf } from "#api/contract/nothing.ts";
import { type Given, optionsOf } from "#api/contract/options.ts";
import { verbs } from "#api/contract/verbs.ts";
import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import { curveOf } from "#distributions/curve.ts";
import type { Problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { circuitAnswer } from "#model/answers/mill/circuitAnswer.ts";
import { costAnswer } from "#model/answers/mill/costAnswer.ts";
import { greatestChance } from "#model/answers/mill/greatestChance.ts";
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
import { geometricMean } from "#model/numbers/geometricMean.ts";

/** What the wheel is asked about beyond its options. */
export interface WheelAsked {
  readonly mill: Mill;
  readonly trials: readonly Trial[];
  readonly band: Band | undefined;
  readonly refire: readonly RefiringPair[];
  /** Whole curves of the trials' products, of any quantity. */
  readonly curves?: readonly NamedMeasurement[];
  readonly priors?: Priors;
  readonly problems: readonly Problem[];
}

export function askWheel(
  { mill, trials, band, refire, curves = [], priors, problems }: WheelAsked,
  given: Given,
): WheelAnswered {
  const { speedRpm, flowM3PerH, feedKgPerH, targetD50Um, level, finesBelowUm, ...more } = optionsOf(
    given,
    verbs.wheel,
  );
  const turned = curvesByVolume(curves);
  const answer = wheelAnswer(mill, trials, {
    refire,
    curves: turned.curves.map((m) => curveOf(m.distribution)),
    ...withoutUndefined({ priors }),
    ...withoutUndefined({ band, speedRpm, flowM3PerH, feedKgPerH, targetD50Um, level }),
  });
  const { gasPerM3, energyPerKWh, feedPerKg, perHour, currency } = more;
  const cost =
    speedRpm === undefined
      ? null
      : costAnswer(mill, trials, {
          flowM3PerH: flowM3PerH ?? mill.gasFlowM3PerH,
          feedKgPerH: feedKgPerH ?? geometricMean(trials.flatMap((t) => t.feedKgPerH ?? [])),
          d10Um: answer.d10Um,
          d50Um: answer.d50Um,
          ...withoutUndefined({ level, finesBelowUm, gasPerM3, energyPerKWh, feedPerKg, perHour, currency }),
        });
  return {
    ...answer,
    sentence:
      answer.inBand === null ? answer.sentence : `${answer.sentence} ${greatestChance(answer.inBand)}`.trim(),
    cost,
    problems: [...problems, ...turned.problems, ...answer.problems],
  };
}

type WheelAnswered = z.output<typeof shapes.wheelAnswer>;

/** The answer where the mill could not be read. */
export function unansweredWheel(problems: readonly Problem[]): WheelAnswered {
  const sentence = "Nothing was calculated: the mill cannot be read.";
  return nothingOf(shapes.wheelAnswer, { sentence, problems });
}

/** A mill without a wheel. @param read  its trials, and what was said while reading */
export function askPressure(
  read: { readonly trials: readonly PressureTrial[]; readonly problems: readonly Problem[] },
  given: Given,
) {
  const {
    pressureBar = null,
    feedKgPerH = null,
    targetD50Um = null,
    ratedBar = null,
  } = optionsOf(given, verbs.pressure);
  const answer = pressureAnswer(read.trials, { pressureBar, feedKgPerH, targetD50Um, ratedBar });
  return { ...answer, problems: [...read.problems, ...answer.problems] };
}

/** The steady product, or nulls where the circuit could not be read. */
export function askCircuit({
  circuit,
  problems,
}: {
  readonly circuit: Circuit | null;
  readonly problems: readonly Problem[];
}): z.output<typeof shapes.circuitAnswer> {
  if (circuit === null)
    return nothingOf(shapes.circuitAnswer, {
      sentence: "Nothing was calculated: the circuit cannot be read.",
      problems,
    });
  const answer = circuitAnswer(circuit);
  return { ...answer, problems: [...problems, ...answer.problems] };
}
