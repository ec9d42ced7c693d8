import type { z } from "@hono/zod-openapi";
import type { checkAnswer as checkShape } from "#api/contract/lotAnswers.ts";
import { type Given, isOn, numberOption, optionsOf } from "#api/contract/options.ts";
import type { compareAnswer as compareShape } from "#api/contract/severalAnswers.ts";
import { verbs } from "#api/contract/verbs.ts";
import { UnusableInput } from "#api/faults.ts";
import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import { familyNames } from "#distributions/families/family.ts";
import type { Problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { CandidateReading } from "#distributions/tables/candidateReadings.ts";
import type { TableReading } from "#distributions/tables/reading/tableReading.ts";
import type { MeasurementOutcome } from "#distributions/tables/values/outcomes.ts";
import { compareAnswer } from "#model/answers/compare/compareAnswer.ts";
import { budgetAnswer } from "#model/answers/lot/budgetAnswer.ts";
import { type DescribeOptions, describeAnswer, describeEach } from "#model/answers/lot/describeAnswer.ts";
import { finesAnswer } from "#model/answers/lot/finesAnswer.ts";
import { type FitQuestion, fitAnswer } from "#model/answers/lot/fitAnswer.ts";
import { fitRows } from "#model/answers/lot/fitRows.ts";
import { releaseCheck } from "#model/answers/lot/releaseCheck.ts";
import { runsAnswer } from "#model/answers/lot/runsAnswer.ts";
import { sizeShiftAnswer } from "#model/answers/lot/sizeShiftAnswer.ts";
import { sentenceOf, verdictWords } from "#model/answers/lot/verdictSentence.ts";
import { surfaceAnswer } from "#model/answers/surface/surfaceAnswer.ts";
import type { Band } from "#model/band/band.ts";
import { stageGap } from "#model/band/stageGap.ts";
import { cvLimits } from "#model/lot/cvLimits.ts";
import type { Stage } from "#model/lot/stages.ts";
import type { MeasurandCheck } from "#model/release/readChecks.ts";
import type { BetPair } from "#model/surface/bet.ts";

/** Measurements that were read, and what was said while reading. */
export interface Answered {
  readonly measurements: readonly NamedMeasurement[];
  readonly problems: readonly Problem[];
  /** What became of each measurement of each file; of some sources that is not known. */
  readonly outcomes?: readonly Became[];
  /** How each table was read. */
  readonly tables?: readonly (TableReading & { readonly file: string | null })[];
  /** The readings of each file that stand beside each other, where they were asked for. */
  readonly candidates?: readonly (CandidateReading & { readonly file: string | null })[];
}

/** One measurement on its way in. */
export type Became = Pick<MeasurementOutcome, "measurement" | "state"> & { readonly file: string | null };

export function askDescribe(
  { measurements, problems, outcomes = [], tables = [], candidates = [] }: Answered,
  given: Given,
) {
  const answer = describeAnswer(measurements, describeOptions(given));
  const read = isOn(given, "explain") ? { tables, candidates } : {};
  return { ...answer, outcomes, ...read, problems: [...problems, ...answer.problems] };
}

/** A line a measurement: its numbers without its classes, as each is done. */
export function* describeRows({ measurements }: Answered, given: Given) {
  const options = describeOptions(given);
  for (const { answer, remarks } of describeEach(measurements, options)) {
    if (answer === null) {
      yield { row: null, problems: remarks };
      continue;
    }
    const { lowerUm: _, upperUm: __, shares: ___, numberInFinestTwo = null, ...row } = answer;
    yield { row: { ...row, numberInFinestTwo }, problems: remarks };
  }
}

/** A line a fit: parameters and misfits without residuals, as each is made. */
export function* fitRowsOf({ measurements }: Answered, given: Given) {
  for (const { fit, problems } of fitRows(measurements, fitQuestion(given))) {
    if (fit === null) {
      yield { row: null, problems };
      continue;
    }
    const { file, name, ...row } = fit;
    yield { row: { file, name, ...row, warnings: row.warnings.join(" ") }, problems };
  }
}

export function askFit({ measurements, problems }: Answered, given: Given) {
  const answer = fitAnswer(measurements, fitQuestion(given));
  return { ...answer, problems: [...problems, ...answer.problems] };
}

function describeOptions(given: Given): DescribeOptions {
  return {
    ...optionsOf(given, verbs.describe),
    ...withoutUndefined({ densityGPerCm3: numberOption(given, "density") }),
  };
}

function fitQuestion(given: Given): FitQuestion {
  const { family = "all", components, ...rest } = optionsOf(given, verbs.fit);
  return {
    families: family === "all" ? familyNames : [family],
    components: components === "3" ? 3 : 2,
    ...rest,
    ...withoutUndefined({ densityGPerCm3: numberOption(given, "density") }),
  };
}

export function askRuns({ measurements, problems }: Answered, given: Given) {
  const { limits: name = "iso-13320", cvLimits: own, ...rest } = optionsOf(given, verbs.runs);
  if (own !== undefined && own.length !== 3)
    throw new UnusableInput(
      `--cv-limits takes three percentages, for D10, D50 and D90, such as 5,3,5; found ${own.join(",")}.`,
      own.join(","),
      "three percentages",
    );
  const [d10Percent = 0, d50Percent = 0, d90Percent = 0] = own ?? [];
  const answer = runsAnswer(measurements, {
    limits:
      own === undefined
        ? cvLimits[name]
        : { d10Percent, d50Percent, d90Percent, doubledBelowUm: null, source: "as given" },
    ...rest,
  });
  return { ...answer, problems: [...problems, ...answer.problems] };
}

export function askFines({ measurements, problems }: Answered, given: Given) {
  const answer = finesAnswer(measurements, {
    densityGPerCm3: neededDensity(given, "fines"),
    ...optionsOf(given, verbs.fines),
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

/** What a check rests on beside the runs. */
interface CheckedBeside {
  /** Runs of the kept lots of the ground, oldest first. */
  readonly kept?: readonly (readonly NamedMeasurement[])[];
  /** Of the instrument, against reference materials. */
  readonly checks?: readonly MeasurandCheck[];
}

/**
 * The verdict, or nulls where no measurement could be read: then there is nothing to judge. Of a stage that is not the
 * band's, `gap` says why the verdict is not final, and how surely the limits hold is not told.
 */
export function askCheck(
  { measurements, problems }: Answered,
  band: Band,
  given: Given,
  beside: CheckedBeside = {},
): CheckAnswered {
  const { rule = band.rule, stage = null, ...percent } = optionsOf(given, verbs.check);
  const gap = stageGap(stage, band.stage);
  if (measurements.length === 0)
    return {
      ...unchecked,
      gap,
      rule,
      sentence: "The lot was not checked: no measurement can be read.",
      problems,
    };
  const { kept = [], checks = [] } = beside;
  const share = (value: number | undefined) => (value === undefined ? null : value / 100);
  const options = { rule, kept, samplingCv: share(percent.samplingCv) };
  const answer = askVerdict(measurements, band, stage, options);
  return {
    ...answer,
    rows: gap === null ? answer.rows : answer.rows.map((row) => ({ ...row, probability: null })),
    budget: budgetAnswer(measurements, {
      ...options,
      densityGPerCm3: band.densityGPerCm3,
      checks,
      opticalCv: share(percent.opticalCv),
      densityCv: share(percent.densityCv),
    }),
    sizeShiftNeeded: gap === null ? sizeShiftAnswer(measurements, band, options) : null,
    problems: [...problems, ...answer.problems],
  };
}

/** Verdict, sentence and release figures alone: what a list of lots shows of each. @param measurements  at least one */
export function askVerdict(
  measurements: readonly NamedMeasurement[],
  band: Band,
  stage: Stage | null,
  options: Parameters<typeof releaseCheck>[2],
) {
  const gap = stageGap(stage, band.stage);
  const answer = releaseCheck(measurements, band, options);
  return {
    ...answer,
    gap,
    sentence: sentenceOf(verdictWords(answer, gap)),
    release: gap === null ? answer.release : null,
  };
}

/** The answer where the band could not be read. */
export function uncheckedFor({ measurements, problems }: Answered): CheckAnswered {
  const sentence = "The lot was not checked: the band cannot be read.";
  return { ...unchecked, runs: measurements.length, sentence, problems };
}

type CheckAnswered = z.output<typeof checkShape>;

/** An answer with nothing in it. Written out, since the schemas themselves take long to load and no other verb of powders needs them. */
const unchecked: CheckAnswered = {
  verdict: null,
  gap: null,
  rule: null,
  runs: 0,
  rows: [],
  outside: [],
  release: null,
  budget: null,
  sizeShiftNeeded: null,
  sentence: "",
  problems: [],
};

export function askCompare(a: Answered, b: Answered, given: Given): z.output<typeof compareShape> {
  const read = [...a.problems, ...b.problems];
  const options = optionsOf(given, verbs.compare);
  if (a.measurements.length === 0 || b.measurements.length === 0)
    return {
      maxGapPoints: null,
      atUm: null,
      shiftPercent: null,
      meanShiftPercent: null,
      overlap: null,
      percentileRatios: {},
      finesPoints: {},
      sentence: "No comparison is possible: one side cannot be read.",
      problems: read,
    };
  const answer = compareAnswer(a.measurements, b.measurements, options);
  return { ...answer, problems: [...read, ...answer.problems] };
}

export function askSurface(
  { measurements, problems }: Answered,
  pairs: readonly BetPair[] | undefined,
  given: Given,
) {
  const { pairs: _, instrument, optics, dopantClass, ...rest } = optionsOf(given, verbs.surface);
  const answer = surfaceAnswer(measurements, {
    densityGPerCm3: neededDensity(given, "surface"),
    ...rest,
    ...withoutUndefined({ pairs }),
    now: withoutUndefined({ instrument, optics, dopantClass }),
  });
  return { ...answer, problems: [...problems, ...answer.problems] };
}
