import { itemAt } from "#distributions/lists.ts";
import type { ChainedSize, StepDoubt } from "#model/chain/chain.ts";
import { settingOfStep, stepTo } from "#model/lot/stages.ts";
import { columnWords } from "#model/words/columnWords.ts";
import { capital, chanceText, counted, figures, listed } from "#model/words/wording.ts";
import type { ChosenSetting } from "./chainSettings.ts";

/** What the sentence says of one step. */
export interface ChainSentenceStep {
  readonly stage: string;
  readonly lots: number;
  readonly settings: readonly ChosenSetting[];
  readonly doubt: StepDoubt;
}

const doingOf = (stage: string) =>
  stage === "precursor" ? "the precursor" : (stepTo(stage) ?? `the step to ${stage}`);

/** Above this share of the doubt one step is said to make most of it. */
const most = 0.5;

/** "Fired at 1,600 °C and milled at 6,300 rpm, 71 % of lots would be in band … Most of the doubt comes from re-firing." */
export function chainSentence(of: {
  readonly steps: readonly ChainSentenceStep[];
  readonly size: ChainedSize & { readonly name: string };
  readonly level: number;
  readonly chance: number | null;
  readonly judged: readonly string[];
}): string {
  const { steps, size, level, chance, judged } = of;
  const made = madeWords(steps);
  const last = itemAt(steps, -1).stage;
  const [median, low, high] = [size.median, size.low, size.high].map((um) => figures(um));
  const spread = `${size.name} after ${doingOf(last)} is expected at ${median} µm (${Math.round(100 * level)} % of lots: ${low}–${high} µm)`;
  const inBand =
    chance === null ? "" : `${chanceText(chance)} of lots would be in band (${listed(judged)}); `;
  return `${made}, ${inBand}${spread}. ${doubtWords(steps)}`;
}

function madeWords(steps: readonly ChainSentenceStep[]): string {
  const set = steps.filter(({ settings }) => settings.length > 0);
  if (set.length === 0) return "Made as these lots were";
  return capital(
    listed(
      set.map(
        ({ stage, settings }) =>
          `${stage} at ${listed(
            settings.map(({ name, value, unit }) => {
              // One setting with a unit needs no name: "milled at 6,300 rpm".
              const isPlain = settings.length === 1 && unit !== "";
              return `${isPlain ? "" : settingName(name, stage)} ${valueText(value)} ${unit}`.trim();
            }),
          )}`,
      ),
    ),
  );
}

/** "firing temperature" is the temperature where the stage is said already. */
function settingName(name: string, stage: string): string {
  const { name: plain } = columnWords(name);
  const step = settingOfStep("", stage);
  return plain.startsWith(`${step} `) ? plain.slice(step.length + 1) : plain;
}

function valueText(value: number): string {
  return Number(value.toPrecision(4)).toLocaleString("en-GB");
}

/** Which step the doubt comes from, and whether more lots would lessen it. */
function doubtWords(steps: readonly ChainSentenceStep[]): string {
  const [first, second] = steps.toSorted((a, b) => b.doubt.share - a.doubt.share);
  if (first === undefined) return "";
  const percent = (share: number) => `${Math.round(100 * share)} %`;
  const cause =
    first.doubt.fromFewLots > most
      ? `mostly because ${counted(first.lots, "lot")} tell it: more lots would lessen it`
      : "mostly its own scatter from lot to lot, which more lots do not lessen";
  const where =
    first.doubt.share > most || second === undefined
      ? `Most of the doubt comes from ${doingOf(first.stage)} (${percent(first.doubt.share)})`
      : `The doubt comes from ${doingOf(first.stage)} (${percent(first.doubt.share)}) and ${doingOf(second.stage)} (${percent(second.doubt.share)}) before the others`;
  return `${where}, ${cause}.`;
}
