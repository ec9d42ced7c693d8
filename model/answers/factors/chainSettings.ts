import { maxOf, minOf } from "#distributions/lists.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import { minLotsForStep } from "#model/chain/stepLaw.ts";
import { columnWords } from "#model/words/columnWords.ts";
import { capital, counted, figures } from "#model/words/wording.ts";
import type { HistoryColumn, LotHistory } from "./historyAnswer.ts";

/** A setting of the lot to be made, beside what the lots tried. */
export interface ChosenSetting {
  readonly name: string;
  readonly unit: string;
  readonly value: number;
  /** Far outside: by more than the whole range that was tried, of a wheel's speed by more than half. */
  readonly reach: "tried" | "outside" | "far outside";
}

interface FoundSetting extends ChosenSetting {
  readonly column: HistoryColumn;
  readonly isWheelSpeed: boolean;
}

/** A wheel's speed may go so far beyond the trials, as in the wheel plan. */
const farthestSpeed = 1.5;

/** The settings of a step that the lots know, at the values asked for, else at those of the last lot; the others are named. */
export function chosenSettings(
  history: LotHistory,
  asked: {
    readonly stage: string;
    readonly names: readonly string[];
    /** Places of the lots that went through the step. */
    readonly lots: readonly number[];
    readonly at: Readonly<Record<string, number>>;
  },
): { readonly settings: readonly FoundSetting[]; readonly problems: readonly Problem[] } {
  const problems: Problem[] = [];
  const settings = asked.names.flatMap((name): FoundSetting[] => {
    const column = history.columns.find((each) => each.name === name);
    if (column === undefined) {
      problems.push(
        problem("refused", `There is no column ${name}, which is to be a setting of ${asked.stage}.`, {
          found: name,
          expected: history.columns.map((each) => each.name).join(", "),
        }),
      );
      return [];
    }
    const known = asked.lots.flatMap((i) => column.values[i] ?? []);
    const enough = Math.max(minLotsForStep, Math.ceil(asked.lots.length / 2));
    const words = columnWords(name, column.unit);
    const last = known.at(-1);
    if (known.length < enough || last === undefined) {
      problems.push(
        problem(
          "note",
          `${capital(words.name)} is known of ${counted(known.length, "lot")} only and is left out.`,
          { expected: `known of ${counted(enough, "lot")} or more` },
        ),
      );
      return [];
    }
    const value = asked.at[name] ?? last;
    const isWheelSpeed = (words.unit === "rpm" || /rpm$/i.test(name)) && Math.min(...known, value) > 0;
    const unit = words.unit ?? (isWheelSpeed ? "rpm" : "");
    const reach = reachOf(value, known, isWheelSpeed);
    if (reach !== "tried") problems.push(outsideWords({ name: words.name, unit, value, reach }, known));
    return [{ name, unit, value, reach, column, isWheelSpeed }];
  });
  return { settings, problems };
}

function reachOf(value: number, known: readonly number[], isWheelSpeed: boolean): ChosenSetting["reach"] {
  const [low, high] = [minOf(known), maxOf(known)];
  if (value >= low && value <= high) return "tried";
  const isFar = isWheelSpeed
    ? value > high * farthestSpeed || value < low / farthestSpeed
    : value > high + (high - low) || value < low - (high - low);
  return isFar ? "far outside" : "outside";
}

function outsideWords({ name, unit, value, reach }: ChosenSetting, known: readonly number[]): Problem {
  const [low, high] = [minOf(known), maxOf(known)];
  const tried =
    low === high ? `${figures(low, 4)} ${unit} alone` : `${figures(low, 4)}–${figures(high, 4)} ${unit}`;
  const effect =
    reach === "outside"
      ? "the sizes after this step are an extrapolation"
      : "so far outside nothing is known, and no chance is given";
  return problem(
    "note",
    `${capital(name)} ${figures(value, 4)} ${unit}: the lots tried ${tried.trim()}; ${effect}.`,
    { found: `${figures(value, 4)} ${unit}`.trim(), expected: tried.trim() },
  );
}
