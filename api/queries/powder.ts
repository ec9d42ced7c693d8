import { UnusableInput } from "#api/faults.ts";
import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import { type FamilyName, familyNames } from "#distributions/families/family.ts";
import type { Problem } from "#distributions/problem.ts";
import type { NamedMeasurement, Quantity } from "#distributions/sizeDistribution.ts";
import { quantities } from "#distributions/sizeDistribution.ts";
import type { TableReading } from "#distributions/tables/reading/tableReading.ts";
import type { MeasurementOutcome } from "#distributions/tables/values/outcomes.ts";
import { compareAnswer } from "#model/answers/compare/compareAnswer.ts";
import { type CheckAnswer, checkAnswer } from "#model/answers/lot/checkAnswer.ts";
import { checkWords, sentenceOf } from "#model/answers/lot/checkWords.ts";
import { describeAnswer } from "#model/answers/lot/describeAnswer.ts";
import { finesAnswer } from "#model/answers/lot/finesAnswer.ts";
import { fitAnswer } from "#model/answers/lot/fitAnswer.ts";
import { runsAnswer } from "#model/answers/lot/runsAnswer.ts";
import { type SizeShiftNeeded, sizeShiftAnswer } from "#model/answers/lot/sizeShiftAnswer.ts";
import { surfaceAnswer } from "#model/answers/surface/surfaceAnswer.ts";
import { type Band, type DecisionRule, decisionRules } from "#model/band/band.ts";
import { stageGap } from "#model/band/stageGap.ts";
import { type PointSet, pointSets } from "#model/fit/fitPoints.ts";
import { type CvLimitsName, cvLimits, cvLimitsNames } from "#model/lot/cvLimits.ts";
import { type LotsBy, lotsByOptions } from "#model/lot/lotsOf.ts";
import { type Stage, stages } from "#model/lot/stages.ts";
import type { BetPair } from "#model/surface/bet.ts";
import { type Given, isOn, numberOption, numbersOption, textOption, wordOption } from "./options.ts";

/** Measurements that were read, and what was said while reading. */
export interface Answered {
  readonly measurements: readonly NamedMeasurement[];
  readonly problems: readonly Problem[];
  /** What became of each measurement of each file; of some sources that is not known. */
  readonly outcomes?: readonly Became[];
  /** How each table was read. */
  readonly tables?: readonly (TableReading & { readonly file: string | null })[];
}

/** One measurement on its way in. */
export type Became = Pick<MeasurementOutcome, "measurement" | "state"> & { readonly file: string | null };

/** The options of each verb beyond those of reading. The command line and the API ask the same questions with the same words. */
export const verbFlags = {
  describe: ["percentiles", "as", "level", "lots"],
  fit: ["family", "components", "points", "as", "level"],
  runs: ["limits", "cv-limits", "lots"],
  fines: ["shape-factor", "level"],
  check: ["band", "rule", "stage"],
  compare: ["below"],
  surface: [
    "pairs",
    "stage",
    "level",
    "bet-low",
    "bet-high",
    "bet-found",
    "instrument",
    "optics",
    "dopant-class",
  ],
  circuit: ["circuit"],
  band: ["from", "tolerance-percent", "coverage", "name", "stage"],
  blend: ["band"],
  scalp: ["cut", "at", "sharpness", "band"],
  against: [],
  history: ["of", "factors", "level"],
  pressure: ["trials", "pressure", "feed", "target-d50", "rated"],
  stages: ["names", "below", "masses", "percentiles", "level"],
  wheel: [
    "mill",
    "trials",
    "curves",
    "priors",
    "speed",
    "flow",
    "feed",
    "target-d50",
    "level",
    "band",
    "refire",
  ],
} as const;

export function askDescribe({ measurements, problems, outcomes = [], tables = [] }: Answered, given: Given) {
  const answer = describeAnswer(
    measurements,
    withoutUndefined({
      percentiles: numbersOption(given, "percentiles", { above: 0, below: 100 }),
      as: wordOption<Quantity>(given, "as", quantities),
      densityGPerCm3: numberOption(given, "density"),
      level: numberOption(given, "level", { above: 0, below: 1 }),
      lotsBy: wordOption<LotsBy>(given, "lots", lotsByOptions),
    }),
  );
  const read = isOn(given, "explain") ? { tables } : {};
  return { ...answer, outcomes, ...read, problems: [...problems, ...answer.problems] };
}

export function askFit({ measurements, problems }: Answered, given: Given) {
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

export function askRuns({ measurements, problems }: Answered, given: Given) {
  const name = wordOption<CvLimitsName>(given, "limits", cvLimitsNames) ?? "iso-13320";
  const own = numbersOption(given, "cv-limits");
  if (own !== undefined && own.length !== 3)
    throw new UnusableInput(
      `--cv-limits takes three per cents, for D10, D50 and D90, such as 5,3,5; found ${own.join(",")}.`,
      own.join(","),
      "three per cents",
    );
  const [d10Percent = 0, d50Percent = 0, d90Percent = 0] = own ?? [];
  const answer = runsAnswer(measurements, {
    limits:
      own === undefined
        ? cvLimits[name]
        : { d10Percent, d50Percent, d90Percent, doubledBelowUm: null, source: "as given" },
    ...withoutUndefined({ lotsBy: wordOption<LotsBy>(given, "lots", lotsByOptions) }),
  });
  return { ...answer, problems: [...problems, ...answer.problems] };
}

export function askFines({ measurements, problems }: Answered, given: Given) {
  const answer = finesAnswer(measurements, {
    densityGPerCm3: neededDensity(given, "fines"),
    ...withoutUndefined({
      shapeFactor: numberOption(given, "shape-factor"),
      level: numberOption(given, "level", { above: 0, below: 1 }),
    }),
  });
  return { ...answer, problems: [...problems, ...answer.problems] };
}

function neededDensity(given: Given, verb: string): number {
  const densityGPerCm3 = numberOption(given, "density");
  if (densityGPerCm3 === undefined)
    throw new UnusableInput(
      `${verb} needs the density of the solid: --density 4.55, in g/cm³.`,
      "no density",
      "--density G_PER_CM3",
    );
  return densityGPerCm3;
}

type Unanswered<T> = { [K in keyof T]: T[K] | null };

/**
 * The verdict, or nulls where no measurement could be read: then there is nothing to judge. Of a stage that is not the
 * band's, `gap` says why the verdict is not final, and how surely the limits hold is not told.
 */
export function askCheck(
  { measurements, problems }: Answered,
  band: Band,
  given: Given,
): Unanswered<CheckAnswer> & { gap: string | null; rescue: SizeShiftNeeded | null; problems: Problem[] } {
  const rule = wordOption<DecisionRule>(given, "rule", decisionRules);
  const gap = stageGap(wordOption<Stage>(given, "stage", stages) ?? null, band.stage);
  if (measurements.length === 0) {
    return {
      verdict: null,
      gap,
      rule: rule ?? band.rule,
      runs: 0,
      rows: [],
      outside: [],
      sentence: "Nothing was checked: no measurement could be read.",
      rescue: null,
      problems: [...problems],
    };
  }
  const answer = checkAnswer(measurements, band, { rule });
  return {
    ...answer,
    gap,
    rows: gap === null ? answer.rows : answer.rows.map((row) => ({ ...row, probability: null })),
    sentence: sentenceOf(checkWords(answer, gap)),
    rescue: gap === null ? sizeShiftAnswer(measurements, band) : null,
    problems: [...problems, ...answer.problems],
  };
}

export function askCompare(a: Answered, b: Answered, given: Given) {
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
  { measurements, problems }: Answered,
  pairs: readonly BetPair[] | undefined,
  given: Given,
) {
  const answer = surfaceAnswer(measurements, {
    densityGPerCm3: neededDensity(given, "surface"),
    ...withoutUndefined({
      pairs,
      stage: textOption(given, "stage"),
      level: numberOption(given, "level", { above: 0, below: 1 }),
      betLow: numberOption(given, "bet-low"),
      betHigh: numberOption(given, "bet-high"),
      betFound: numberOption(given, "bet-found"),
      now: withoutUndefined({
        instrument: textOption(given, "instrument"),
        optics: textOption(given, "optics"),
        dopantClass: textOption(given, "dopant-class"),
      }),
    }),
  });
  return { ...answer, problems: [...problems, ...answer.problems] };
}
