import { itemAt } from "#distributions/lists.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import { type Chain, type ChainedSize, chainOf } from "#model/chain/chain.ts";
import { minLotsForStep, type StepLaw, stepLaw } from "#model/chain/stepLaw.ts";
import type { Limits } from "#model/numbers/jointChance.ts";
import { columnWords } from "#model/words/columnWords.ts";
import { counted, listed } from "#model/words/wording.ts";
import { type ChosenSetting, chosenSettings } from "./chainSettings.ts";
import { type ChainSentenceStep, chainSentence } from "./chainWords.ts";
import { wholeLots } from "./factorTable.ts";
import type { HistoryColumn, LotHistory } from "./historyAnswer.ts";

/** One step of the process: the stage after it, and the columns that say how it was done. */
export interface AskedStep {
  readonly stage: string;
  readonly settings: readonly string[];
}

export interface ChainQuestion {
  /** In the order of the process. */
  readonly steps: readonly AskedStep[];
  /** Settings of the lot to be made; one left out is as in the last lot. */
  readonly at?: Readonly<Record<string, number>>;
  /** After the last step, by D10, D50 or D90, in µm. */
  readonly limits?: Readonly<Record<string, Limits>>;
  /** Of the intervals; 0.9 when left out, as in the wheel plan. */
  readonly level?: number;
}

export interface ChainStepAnswer extends ChainSentenceStep {
  /** That taught this step. */
  readonly lots: number;
  /** Of the lot to be made, after this step, in µm. */
  readonly sizes: readonly (ChainedSize & { readonly name: string })[];
}

export interface ChainAnswer {
  readonly level: number;
  readonly steps: readonly ChainStepAnswer[];
  /** Of one further lot inside all limits after the last step; null where there is none, or none may be said. */
  readonly chance: number | null;
  readonly chances: readonly { readonly name: string; readonly chance: number }[];
  readonly sentence: string;
  readonly problems: readonly Problem[];
}

const percents = [10, 50, 90] as const;

/**
 * A lot to be made, carried from the first step to the last with the uncertainty of each: the sizes after every step,
 * the chance to lie inside the limits after the last one, and which step most of the doubt comes from.
 *
 * The columns of sizes are found by their names: a stage and D10, D50 or D90, as "re-fired D50" or "refiredD50Um". A step
 * that too few lots tell is left out with a note, and the one before it then leads to the next.
 *
 * @throws nothing; what cannot be answered stands in problems
 * Source: docs/science.md, "chain of steps"; coverage and calibration by simulation, docs/validation.md.
 */
export function chainAnswer(history: LotHistory, question: ChainQuestion): ChainAnswer {
  const { limits = {}, level = 0.9 } = question;
  const measured = question.steps.map((step) => ({ ...step, sizes: sizeColumns(history, step.stage) }));
  const names = percents
    .map((p) => `D${p}`)
    .filter((name) => measured.every(({ sizes }) => sizes.size === 0 || sizes.has(name)));
  const taught = lawsOf(history, measured, { names, at: question.at ?? {} });
  const problems = [
    ...taught.problems,
    ...Object.keys(limits)
      .filter((name) => !names.includes(name))
      .map((name) =>
        problem("refused", `${name} has a limit but is not known at every step.`, {
          found: name,
          expected: names.length === 0 ? "columns such as milled D50" : listed(names),
        }),
      ),
  ];
  const { entered } = taught;
  const last = question.steps.at(-1)?.stage;
  if (entered.length === 0 || names.length === 0 || entered.at(-1)?.stage !== last)
    return {
      level,
      steps: [],
      chance: null,
      chances: [],
      sentence: `No chain can be followed to ${last ?? "a last step"}: each step needs at least ${counted(minLotsForStep, "lot")} that were measured before and after it.`,
      problems,
    };
  const middle = names.includes("D50") ? "D50" : (names[0] ?? "");
  const chain = chainOf(
    entered.map(({ law }) => law),
    names.map((name) => limits[name] ?? null),
    { level, of: names.indexOf(middle) },
  );
  const isFar = entered.some(({ settings }) => settings.some((s) => s.reach === "far outside"));
  return answered({ entered, chain, names, middle, level, isFar, problems });
}

interface ToldStep {
  readonly stage: string;
  readonly settings: readonly ChosenSetting[];
  readonly law: StepLaw;
}

function answered(of: {
  readonly entered: readonly ToldStep[];
  readonly chain: Chain;
  readonly names: readonly string[];
  readonly middle: string;
  readonly level: number;
  readonly isFar: boolean;
  readonly problems: readonly Problem[];
}): ChainAnswer {
  const { entered, chain, names, middle, level, isFar, problems } = of;
  const steps = entered.map(({ stage, settings, law }, i): ChainStepAnswer => {
    const sizesUm = itemAt(chain.sizesUm, i);
    return {
      stage,
      lots: law.lots,
      settings,
      doubt: itemAt(chain.doubts, i),
      sizes: names.flatMap((name, s) => sizesUm.slice(s, s + 1).map((size) => ({ name, ...size }))),
    };
  });
  const chance = isFar ? null : chain.chance;
  const judged = names.flatMap((name, s) => {
    const own = chain.chances[s] ?? null;
    return own === null ? [] : [{ name, chance: own }];
  });
  const size = steps.at(-1)?.sizes.find(({ name }) => name === middle);
  return {
    level,
    steps,
    chance,
    chances: isFar ? [] : judged,
    sentence:
      size === undefined
        ? ""
        : chainSentence({ steps, size, level, chance, judged: judged.map(({ name }) => name) }),
    problems,
  };
}

/** Columns of a stage's sizes by D10, D50, D90. */
function sizeColumns(history: LotHistory, stage: string): ReadonlyMap<string, HistoryColumn> {
  return new Map(
    percents.flatMap((p) => {
      const wanted = plainName(`${stage} D${p}`);
      const found = history.columns.find(({ name }) => plainName(name) === wanted);
      return found === undefined ? [] : [[`D${p}`, found] as const];
    }),
  );
}

/** "re-fired D50", "refiredD50Um" and "Re_fired d50 (µm)" are one name. */
function plainName(name: string): string {
  return name
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "")
    .replace(/(d\d\d)u?m$/, "$1");
}

type MeasuredStep = AskedStep & { readonly sizes: ReadonlyMap<string, HistoryColumn> };

/** The law of each step that enough lots tell, from the step told before it. */
function lawsOf(
  history: LotHistory,
  steps: readonly MeasuredStep[],
  { names, at }: { readonly names: readonly string[]; readonly at: Readonly<Record<string, number>> },
): { readonly entered: readonly ToldStep[]; readonly problems: readonly Problem[] } {
  const problems: Problem[] = [];
  const entered: ToldStep[] = [];
  let before: readonly HistoryColumn[] | null = null;
  for (const { stage, settings: asked, sizes } of steps) {
    const after = names.flatMap((name) => sizes.get(name) ?? []);
    const both = [...(before ?? []), ...after];
    const whole = after.length === 0 ? [] : wholeLots(both);
    if (whole.length < minLotsForStep) {
      problems.push(tooFew(stage, whole.length));
      continue;
    }
    const chosen = chosenSettings(history, { stage, names: asked, lots: whole, at });
    const lots = whole.filter((i) =>
      chosen.settings.every(({ column }) => (column.values[i] ?? null) !== null),
    );
    const valuesOf = ({ values }: HistoryColumn) => lots.flatMap((i) => values[i] ?? []);
    const law = stepLaw(
      {
        beforeUm: before === null ? null : before.map(valuesOf),
        afterUm: after.map(valuesOf),
        settings: chosen.settings.map(({ column, isWheelSpeed, name }) => ({
          name,
          values: valuesOf(column),
          isWheelSpeed,
        })),
      },
      chosen.settings.map(({ value }) => value),
    );
    problems.push(...chosen.problems);
    if (law === null) {
      problems.push(tooFew(stage, lots.length));
      continue;
    }
    entered.push({
      stage,
      law,
      settings: chosen.settings.map(({ column: _, isWheelSpeed: __, ...rest }) => rest),
    });
    before = after;
  }
  return { entered, problems };
}

function tooFew(stage: string, lots: number): Problem {
  return problem(
    "note",
    `The step to ${columnWords(stage).name} is left out: ${counted(lots, "lot")} measured before and after it, but at least ${counted(minLotsForStep, "lot")} are needed.`,
    {
      found: counted(lots, "lot"),
      expected: `columns such as ${stage} D50, filled for three lots or more`,
      effect: "a number stays unknown",
    },
  );
}
