import { nothingOf } from "#api/contract/nothing.ts";
import { type Given, optionsOf } from "#api/contract/options.ts";
import * as shapes from "#api/contract/severalAnswers.ts";
import { verbs } from "#api/contract/verbs.ts";
import { UnusableInput } from "#api/faults.ts";
import { itemAt } from "#distributions/lists.ts";
import type { HistoryTable } from "#distributions/tables/reading/readHistory.ts";
import { againstAnswer } from "#model/answers/compare/againstAnswer.ts";
import { parentsAnswer } from "#model/answers/compare/parentsAnswer.ts";
import { chainAnswer } from "#model/answers/factors/chainAnswer.ts";
import { factorsAnswer } from "#model/answers/factors/factorsAnswer.ts";
import { historyAnswer } from "#model/answers/factors/historyAnswer.ts";
import { nextTrialAnswer } from "#model/answers/factors/nextTrialAnswer.ts";
import type { Answered } from "./powder.ts";

/** The first table is the reference; the others stand against it. A table that could not be read is left out and named. */
export function askAgainst(tables: readonly (Answered & { readonly name: string })[]) {
  const problems = tables.flatMap((t) => t.problems);
  const [reference, ...others] = tables;
  const read = others.filter((t) => t.measurements.length > 0);
  if (reference === undefined || reference.measurements.length === 0 || read.length === 0)
    return nothingOf(shapes.againstAnswer, {
      reference: reference?.name ?? "",
      sentence: "No comparison is possible: the reference, or every other table, cannot be read.",
      problems,
    });
  const answer = againstAnswer([reference, ...read].map((t) => ({ name: t.name, runs: t.measurements })));
  return { ...answer, problems: [...problems, ...answer.problems] };
}

/** What a stage is called where none is given: the lot and its parents are taken to be alike. */
const sameStage = "the same stage";

/** The first table is the lot; the others are its parents, of which it holds shares by volume, in any unit. */
export function askParents(tables: readonly (Answered & { readonly name: string })[], given: Given) {
  const { shares, stage = sameStage, taken = [], level } = optionsOf(given, verbs.parents);
  const problems = tables.flatMap((t) => t.problems);
  const [child, ...parents] = tables;
  if (child === undefined || tables.some((t) => t.measurements.length === 0))
    return nothingOf(shapes.parentsAnswer, {
      kind: parents.length > 1 ? "blend" : "split",
      sentence: "No comparison is possible: the lot, or a parent, cannot be read.",
      problems,
    });
  if (shares === undefined ? parents.length > 1 : shares.length !== parents.length)
    throw new UnusableInput(
      `A lot of ${parents.length} parents needs the share of each: --shares 60,40.`,
      shares === undefined ? "no --shares" : `${shares.length} shares`,
      `${parents.length} shares`,
    );
  const sum = shares?.reduce((a, b) => a + b, 0);
  const { found, ...answer } = parentsAnswer(
    { stage, runs: child.measurements },
    parents.map(({ name, measurements }, i) => ({
      name,
      stage: taken[i] ?? taken[0] ?? stage,
      share: shares === undefined || sum === undefined ? 1 : itemAt(shares, i) / sum,
      runs: measurements,
    })),
    level,
  );
  return {
    kind: answer.kind,
    predictedUm: found?.predictedUm ?? {},
    percentileRatios: found?.percentileRatios ?? {},
    meanShiftPercent: found?.meanShiftPercent ?? null,
    maxGapPoints: found?.maxGapPoints ?? null,
    atUm: found?.atUm ?? null,
    agrees: found?.agrees ?? null,
    sentence: answer.sentence,
    problems: [...problems, ...answer.problems],
  };
}

/** Charts over lots and what settings go with; without --of every column but the factors is charted. */
export function askHistory({ problems, ...history }: HistoryTable, given: Given) {
  const { of, factors = [], ...rest } = optionsOf(given, verbs.history);
  const all = history.columns.map((c) => c.name);
  if (history.lots.length > 0 && all.length === 0)
    throw new UnusableInput("The history has no column of numbers.", "no numbers", "a column of numbers");
  const answer = historyAnswer(history, {
    of: of ?? all.filter((name) => !factors.includes(name)),
    factors,
    ...rest,
  });
  return { ...answer, problems: [...problems, ...answer.problems] };
}

/** A history as its columns, refused where none of them holds numbers. */
function withNumbers({ problems: _, ...history }: HistoryTable): Omit<HistoryTable, "problems"> {
  if (history.lots.length > 0 && history.columns.length === 0)
    throw new UnusableInput("The history has no column of numbers.", "no numbers", "a column of numbers");
  return history;
}

function columnsOf({ columns }: HistoryTable): string {
  return columns.length === 0
    ? "The history has no column of numbers."
    : `The columns of numbers are ${columns.map(({ name }) => name).join(", ")}.`;
}

/** What settings go with; without --of every column but the factors is a result. */
export function askFactors(table: HistoryTable, given: Given) {
  const { of, factors, ...rest } = optionsOf(given, verbs.factors);
  if (factors === undefined)
    throw new UnusableInput(
      `factors needs to know which columns are settings: --factors NAME,NAME. ${columnsOf(table)}`,
      "no --factors",
      "--factors with names of columns",
    );
  const history = withNumbers(table);
  const all = history.columns.map((c) => c.name);
  const results = of ?? all.filter((name) => !factors.includes(name));
  const answer = factorsAnswer(history, { of: results, factors, ...rest });
  return { ...answer, problems: [...table.problems, ...answer.problems] };
}

/** The next lot, within limits of the settings. A limit that is open ends where the lots ended. */
export function askNextTrial(table: HistoryTable, given: Given) {
  const { of, factors, within = {}, limits } = optionsOf(given, verbs["next-trial"]);
  if (of === undefined || factors === undefined)
    throw new UnusableInput(
      `next-trial needs a result and the settings: --of NAME and --factors NAME,NAME. ${columnsOf(table)}`,
      of === undefined ? "no --of" : "no --factors",
      "--of with a column, --factors with columns",
    );
  const history = withNumbers(table);
  const allowed = Object.entries(within).map(([name, { low, high }]) => {
    const tried = (history.columns.find((c) => c.name === name)?.values ?? []).filter((v) => v !== null);
    return [name, { from: low ?? Math.min(...tried), to: high ?? Math.max(...tried) }] as const;
  });
  const answer = nextTrialAnswer(history, {
    of,
    factors,
    within: Object.fromEntries(allowed),
    ...(limits === undefined ? {} : { limits }),
  });
  return { ...answer, problems: [...table.problems, ...answer.problems] };
}

/** A lot to be made through every step; a setting belongs to the step that it is named with. */
export function askChain(table: HistoryTable, given: Given) {
  const { steps, settings = [], ...rest } = optionsOf(given, verbs.chain);
  if (steps === undefined || steps.length < 2)
    throw new UnusableInput(
      "chain needs the steps in their order.",
      steps === undefined ? "no --steps" : `${steps.length} step`,
      "--steps fired,milled,re-fired",
    );
  const held = settings.map((entered) => {
    const [stage = "", column = "", ...more] = entered.split(":").map((part) => part.trim());
    if (!steps.includes(stage) || column === "" || more.length > 0)
      throw new UnusableInput(
        `--settings takes STEP:COLUMN, with a step of --steps; found ${entered}.`,
        entered,
        `${steps[0] ?? "fired"}:firingC`,
      );
    return { stage, column };
  });
  const stray = Object.keys(rest.at ?? {}).find((name) => !held.some(({ column }) => column === name));
  if (stray !== undefined)
    throw new UnusableInput(
      `--at gives ${stray}, which --settings does not name with a step.`,
      stray,
      held.map(({ column }) => column).join(", ") || "--settings fired:firingC",
    );
  const answer = chainAnswer(withNumbers(table), {
    steps: steps.map((stage) => ({
      stage,
      settings: held.filter((each) => each.stage === stage).map(({ column }) => column),
    })),
    ...rest,
  });
  return { ...answer, problems: [...table.problems, ...answer.problems] };
}
