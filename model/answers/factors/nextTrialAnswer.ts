import { maxOf, minOf } from "#distributions/lists.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import { type AllowedFactor, nextProcessTrial, type ProposedTrial } from "#model/factors/nextProcessTrial.ts";
import { columnWords } from "#model/words/columnWords.ts";
import { chanceText, counted, listed } from "#model/words/wording.ts";
import { columnsAsked, factorsTogether, scaledResult, wholeLots } from "./factorTable.ts";
import type { HistoryColumn, LotHistory } from "./historyAnswer.ts";

/** From where to where a setting may be tried. */
export interface Allowed {
  readonly from: number;
  readonly to: number;
}

export interface NextTrialQuestion {
  readonly of: string;
  readonly factors: readonly string[];
  /** By a factor's name; one that is not named may go as far as the lots went. */
  readonly within?: Readonly<Record<string, Allowed>>;
  /** What the result should lie between. */
  readonly limits?: { readonly low: number | null; readonly high: number | null };
}

export interface ProposedLot {
  readonly settings: readonly { readonly factor: string; readonly value: number; readonly unit: string }[];
  /** Of the lot that tells most, by how much it narrows the widest error of an effect, 0..1; of the likeliest, its chance. */
  readonly gain: number;
  readonly isExtrapolation: boolean;
  readonly sentence: string;
}

export interface NextTrialAnswer {
  readonly lots: number;
  readonly splitting: ProposedLot | null;
  readonly likeliest: ProposedLot | null;
  readonly cautions: readonly string[];
  readonly sentence: string;
  readonly problems: readonly Problem[];
}

/** What a careful person would say before a lot is fired otherwise. Common practice, no source. */
export const processCautions: readonly string[] = [
  "Firing: stay within what the furnace, its lining and its crucibles are made for; the furnace's manual and your engineer come before every number here.",
  "Gas and dust: a change of powder, dopant or gas can change what burns, what displaces air and what is inhaled. Read the safety data sheets first.",
  "Local codes and licensed practice take precedence over every number here.",
];

/** Fewer lots than this give no direction [judgement]. */
const minLots = 3;

/**
 * Two proposals for the next lot within the limits given: the one that tells most, and the one likeliest to lie in its limits.
 *
 * @throws nothing; what cannot be answered stands in problems
 * Source: docs/science.md, "settings and results"; advice against chance by simulation, docs/validation.md.
 */
export function nextTrialAnswer(history: LotHistory, question: NextTrialQuestion): NextTrialAnswer {
  const { of, within = {}, limits } = question;
  const asked = columnsAsked(history, [of]);
  const held = columnsAsked(history, question.factors);
  const stray = Object.keys(within).filter((name) => !question.factors.includes(name));
  const problems = [
    ...asked.problems,
    ...held.problems,
    ...stray.map((name) =>
      problem("refused", `Limits are given for ${name}, which is not among the factors.`, {
        found: name,
        expected: question.factors.join(", "),
      }),
    ),
  ];
  const [column] = asked.columns;
  if (column === undefined) return nothing(problems, "");
  const together = factorsTogether(held.columns, [column]);
  const result = scaledResult(column);
  const whole = wholeLots([result, ...together.factors]);
  const at = (values: readonly (number | null)[]) => whole.flatMap((i) => values[i] ?? []);
  const factors = together.factors.map(({ name, values }) => allowedOf(name, at(values), within[name]));
  const all = [...problems, ...together.problems];
  if (factors.length === 0)
    return nothing(all, "No setting is known of these lots, so none can be proposed.");
  if (whole.length < minLots)
    return nothing(
      all,
      `No next trial is proposed: ${counted(whole.length, "lot")} with the result and all settings, but at least ${counted(minLots, "lot")} are needed.`,
    );
  const scale = (limit: number | null) =>
    limit === null ? null : result.isOnLn ? Math.log(Math.max(limit, Number.MIN_VALUE)) : limit;
  const found = nextProcessTrial({
    result: at(result.values),
    factors,
    limits: limits === undefined ? null : { low: scale(limits.low), high: scale(limits.high) },
  });
  const units = new Map(
    held.columns.map((each) => [each.name, columnWords(each.name, each.unit).unit ?? ""]),
  );
  const splitting = proposal(found.splitting, units, tellingWords);
  const likeliest = proposal(found.likeliest, units, (settings, gain) => likelyWords(settings, gain, column));
  const said = [splitting?.sentence, likeliest?.sentence].filter((sentence) => sentence !== undefined);
  return {
    lots: whole.length,
    splitting,
    likeliest,
    cautions: processCautions,
    sentence: said.length === 0 ? "No setting within these limits can be proposed." : said.join(" "),
    problems: all,
  };
}

function nothing(problems: readonly Problem[], sentence: string): NextTrialAnswer {
  return { lots: 0, splitting: null, likeliest: null, cautions: processCautions, sentence, problems };
}

function allowedOf(name: string, values: readonly number[], allowed: Allowed | undefined): AllowedFactor {
  const { from, to } = allowed ?? { from: minOf(values), to: maxOf(values) };
  return { name, values, from: Math.min(from, to), to: Math.max(from, to) };
}

function proposal(
  found: ProposedTrial | null,
  units: ReadonlyMap<string, string>,
  words: (settings: string, gain: number) => string,
): ProposedLot | null {
  if (found === null || !Number.isFinite(found.gain)) return null;
  const settings = found.settings.map(({ factor, value }) => ({
    factor,
    value,
    unit: units.get(factor) ?? "",
  }));
  const said = listed(
    settings.map(({ factor, value, unit }) =>
      `${columnWords(factor).name} ${Number(value.toPrecision(4))} ${unit}`.trim(),
    ),
  );
  const outside = found.isExtrapolation ? " This lies outside what the lots have tried." : "";
  const { gain, isExtrapolation } = found;
  return { settings, gain, isExtrapolation, sentence: `${words(said, gain)}${outside}` };
}

function tellingWords(settings: string, gain: number): string {
  return `The next lot that would tell most: ${settings}. It would make the widest interval of an effect ${Math.round(100 * gain)} % narrower: it lies where these lots say least about the settings.`;
}

function likelyWords(settings: string, gain: number, { name }: HistoryColumn): string {
  return `The lot likeliest to have its ${columnWords(name).name} within the limits: ${settings}, with a chance of ${chanceText(gain)} by the regression on all settings.`;
}
