import { type FamilyName, familyNames } from "#distributions/families/family.ts";
import type { NamedMeasurement, Quantity } from "#distributions/measured.ts";
import { quantities } from "#distributions/measured.ts";
import type { Problem } from "#distributions/problem.ts";
import { type CheckAnswer, checkAnswer } from "#model/answers/checkAnswer.ts";
import { compareAnswer } from "#model/answers/compareAnswer.ts";
import { describeAnswer } from "#model/answers/describeAnswer.ts";
import { fitAnswer } from "#model/answers/fitAnswer.ts";
import { surfaceAnswer } from "#model/answers/surfaceAnswer.ts";
import { wheelAnswer } from "#model/answers/wheelAnswer.ts";
import { type Band, type DecisionRule, decisionRules } from "#model/band/band.ts";
import { type PointSet, pointSets } from "#model/fit/fitPoints.ts";
import type { Mill } from "#model/mill/mill.ts";
import type { Trial } from "#model/mill/trials/trial.ts";
import type { BetPair } from "#model/surface/bet.ts";
import {
  type Given,
  numberOption,
  numbersOption,
  textOption,
  UnusableInput,
  withoutUndefined,
  wordOption,
} from "./words.ts";

/** Measurements that were read, and what was said while reading. */
export interface Asked {
  readonly measurements: readonly NamedMeasurement[];
  readonly problems: readonly Problem[];
}

/** The options of each verb beyond those of reading. The command line and the API ask the same questions with the same words. */
export const verbFlags = {
  describe: ["percentiles", "as"],
  fit: ["family", "components", "points", "as", "level"],
  check: ["band", "rule"],
  compare: ["below"],
  surface: ["pairs", "stage", "level"],
  wheel: ["mill", "trials", "speed", "flow", "feed", "target-d50", "level"],
} as const;

export function askDescribe({ measurements, problems }: Asked, given: Given) {
  const answer = describeAnswer(
    measurements,
    withoutUndefined({
      percentiles: numbersOption(given, "percentiles", { above: 0, below: 100 }),
      as: wordOption<Quantity>(given, "as", quantities),
      densityGPerCm3: numberOption(given, "density"),
    }),
  );
  return { ...answer, problems: [...problems, ...answer.problems] };
}

export function askFit({ measurements, problems }: Asked, given: Given) {
  const family = wordOption<FamilyName | "all">(given, "family", [...familyNames, "all"]) ?? "all";
  const components = wordOption<"2" | "3">(given, "components", ["2", "3"]);
  const answer = fitAnswer(measurements, {
    families: family === "all" ? familyNames : [family],
    components: components === "3" ? 3 : 2,
    ...withoutUndefined({
      points: wordOption<PointSet>(given, "points", pointSets),
      as: wordOption<Quantity>(given, "as", quantities),
      densityGPerCm3: numberOption(given, "density"),
      level: numberOption(given, "level", { above: 0, below: 1 }),
    }),
  });
  return { ...answer, problems: [...problems, ...answer.problems] };
}

type Unanswered<T> = { [K in keyof T]: T[K] | null };

/** The verdict, or nulls where no measurement could be read: then there is nothing to judge. */
export function askCheck(
  { measurements, problems }: Asked,
  band: Band,
  given: Given,
): Unanswered<CheckAnswer> & { problems: Problem[] } {
  const rule = wordOption<DecisionRule>(given, "rule", decisionRules);
  if (measurements.length === 0) {
    return {
      verdict: null,
      rule: rule ?? band.rule,
      runs: 0,
      rows: [],
      outside: [],
      sentence: "Nothing was checked: no measurement could be read.",
      problems: [...problems],
    };
  }
  const answer = checkAnswer(measurements, band, { rule });
  return { ...answer, problems: [...problems, ...answer.problems] };
}

export function askCompare(a: Asked, b: Asked, given: Given) {
  const read = [...a.problems, ...b.problems];
  const belowUm = numbersOption(given, "below");
  if (a.measurements.length === 0 || b.measurements.length === 0) {
    return {
      maxGapPoints: null,
      atUm: null,
      shiftPercent: null,
      meanShiftPercent: null,
      overlap: null,
      percentileRatios: {},
      finesPoints: {},
      sentence: "Nothing was compared: one side could not be read.",
      problems: read,
    };
  }
  const answer = compareAnswer(a.measurements, b.measurements, withoutUndefined({ belowUm }));
  return { ...answer, problems: [...read, ...answer.problems] };
}

export function askSurface(
  { measurements, problems }: Asked,
  pairs: readonly BetPair[] | undefined,
  given: Given,
) {
  const densityGPerCm3 = numberOption(given, "density");
  if (densityGPerCm3 === undefined)
    throw new UnusableInput(
      "surface needs the density of the solid: --density 4.55, in g/cm³.",
      "no density",
      "--density G_PER_CM3",
    );
  const answer = surfaceAnswer(measurements, {
    densityGPerCm3,
    ...withoutUndefined({
      pairs,
      stage: textOption(given, "stage"),
      level: numberOption(given, "level", { above: 0, below: 1 }),
    }),
  });
  return { ...answer, problems: [...problems, ...answer.problems] };
}

export function askWheel(mill: Mill, trials: readonly Trial[], problems: readonly Problem[], given: Given) {
  const answer = wheelAnswer(
    mill,
    trials,
    withoutUndefined({
      speedRpm: numberOption(given, "speed"),
      flowM3PerH: numberOption(given, "flow"),
      feedKgPerH: numberOption(given, "feed"),
      targetD50Um: numberOption(given, "target-d50"),
      level: numberOption(given, "level", { above: 0, below: 1 }),
    }),
  );
  return { ...answer, problems: [...problems, ...answer.problems] };
}
