import { curveOf } from "#distributions/curve.ts";
import { DomainError } from "#distributions/domainError.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { type GainLost, gainLostOf } from "#model/compare/gainLost.ts";
import { neckedShareOf } from "#model/compare/joining.ts";
import { stageChangeOf } from "#model/compare/step.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { type Humps, humpsOf } from "#model/lot/humps.ts";
import { minRuns } from "#model/lot/intervals.ts";
import { type StepKind, usualSteps } from "#model/lot/processSteps.ts";
import { listed } from "#model/words/wording.ts";
import type { StageStep } from "./stageStep.ts";
import { gainLostSentence, humpsChange, neckedShareSentence, stepSentence } from "./stagesWords.ts";

/** One stage of a lot: the runs of its powder, and how much of it there was. */
export interface StageRuns {
  /** As it is called. */
  readonly stage: string;
  /** What is done in the step that leads to it; that of the usual step of this name where it is not said. */
  readonly kind?: StepKind | null;
  readonly runs: readonly NamedMeasurement[];
  readonly massG?: number | undefined;
  /** Where they were already looked for, since that is the slow part; else they are looked for here. */
  readonly humps?: Humps["verdict"] | null;
}

export interface StagesAnswer {
  readonly steps: readonly StageStep[];
  /** Null where the lot has no powder before milling, milled and re-fired. */
  readonly gainLost: GainLost | null;
  readonly sentence: string;
  readonly problems: readonly Problem[];
}

export interface StagesQuestion {
  /** 10, 50, 90 when left out. */
  readonly percents?: readonly number[];
  /** Sizes of the fines balance; 1 µm when left out. */
  readonly belowUm?: readonly number[];
  readonly densityGPerCm3?: number | null;
  /** Of the intervals; 0.95 when left out. */
  readonly level?: number;
}

/**
 * What each step of the process did to the powder, stage by stage in the order given.
 *
 * @throws DomainError  fewer than two stages, or a stage without runs
 * Source: docs/science.md.
 */
export function stagesAnswer(stages: readonly StageRuns[], asked: StagesQuestion = {}): StagesAnswer {
  const { percents = [10, 50, 90], belowUm = [1], densityGPerCm3 = null, level = 0.95 } = asked;
  if (stages.length < 2) throw new DomainError("stages", "must be two or more", stages.length);
  const empty = stages.find(({ runs }) => runs.length === 0);
  if (empty !== undefined) throw new DomainError(`stage ${empty.stage}`, "must have a measurement", 0);
  const turned = stages.map((stage) => ({ stage, ...byVolume(stage.runs, "Stages are compared by volume") }));
  const problems = turned.flatMap((t) => t.problems);
  const line = turned.flatMap(({ stage, runs }) => (runs === null ? [] : [{ ...stage, runs }]));
  if (line.length < stages.length)
    return {
      steps: [],
      gainLost: null,
      sentence: "No step is described: a stage cannot be converted to volume.",
      problems,
    };
  const humps = line.map((stage) => (stage.humps === undefined ? humpsIn(stage.runs) : stage.humps));
  const steps = line.slice(1).map((to, i): StageStep => {
    const from = line[i] ?? to;
    const step = stageChangeOf(from.runs, to.runs, {
      percents,
      belowUm,
      densityGPerCm3,
      grams: from.massG === undefined || to.massG === undefined ? null : [from.massG, to.massG],
      level,
    });
    const joining = kindOf(to) === "heat-treated" ? neckedShareOf(from.runs, to.runs, level) : null;
    const before = humps[i] ?? null;
    const after = humps[i + 1] ?? null;
    const whole = {
      ...step,
      from: from.stage,
      to: to.stage,
      humps: { before, after, change: humpsChange(before, after) },
      joining,
    };
    const more = joining === null ? "" : ` ${neckedShareSentence(joining, step.percentileRatios)}`;
    return { ...whole, sentence: `${stepSentence(whole)}${more}` };
  });
  const gainLost = gainLostIn(line, level);
  return {
    steps,
    gainLost,
    sentence: [
      ...steps.map((s) => s.sentence),
      gainLost === null
        ? ""
        : gainLostSentence(
            gainLost,
            line.flatMap((s) => kindOf(s) ?? []),
          ),
    ]
      .filter((s) => s !== "")
      .join(" "),
    problems: [...problems, ...remarks(line, steps, densityGPerCm3)],
  };
}

/** How many humps the runs show; null without runs. */
export function humpsIn(runs: readonly NamedMeasurement[]): Humps["verdict"] | null {
  return humpsOf(runs.map((run) => curveOf(run.distribution)))?.verdict ?? null;
}

/** What was done in the step that leads to a stage; null where it is not known. */
const kindOf = ({ stage, kind }: StageRuns): StepKind | null =>
  kind ?? usualSteps.find((step) => step.name === stage)?.kind ?? null;

function gainLostIn(line: readonly StageRuns[], level: number): GainLost | null {
  const last = line.findLastIndex((s) => kindOf(s) === "heat-treated");
  const upTo = line.slice(0, Math.max(last, 0));
  const refired = line[last]?.runs;
  const milled = upTo.findLast((s) => kindOf(s) === "milled")?.runs;
  const first = (kind: StepKind) => upTo.find((s) => kindOf(s) === kind)?.runs;
  const before = first("fired") ?? first("crushed");
  return before === undefined || milled === undefined || refired === undefined
    ? null
    : gainLostOf(before, milled, refired, level);
}

function remarks(
  line: readonly StageRuns[],
  steps: readonly StageStep[],
  densityGPerCm3: number | null,
): Problem[] {
  const problems: Problem[] = [];
  const few = line.filter(({ runs }) => runs.length < minRuns);
  if (few.length > 0)
    problems.push(
      problem(
        "note",
        `Steps to and from ${listed(few.map((s) => s.stage))} have no intervals: each stage needs at least three runs.`,
        { expected: "three runs or more per stage", effect: "a number stays unknown" },
      ),
    );
  const lost = steps.flatMap((step) =>
    step.fines.filter(({ points }) => points.value === null).map(({ belowUm }) => `${belowUm} µm`),
  );
  if (lost.length > 0)
    problems.push(
      problem(
        "note",
        `The fines balance has no value below ${listed([...new Set(lost)])}, because a stage was not measured to such small sizes. Choose a larger size, or measure a wider size range.`,
        { effect: "a number stays unknown" },
      ),
    );
  if (densityGPerCm3 === null)
    problems.push(
      problem("note", "No change of area is given: the density of the solid is missing.", {
        expected: "a density in g/cm³",
        effect: "a number stays unknown",
      }),
    );
  return problems;
}
