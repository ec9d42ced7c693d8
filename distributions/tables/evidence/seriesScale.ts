import { maxOf } from "#distributions/lists.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import { figuresText } from "#distributions/tables/text/figuresText.ts";
import type { ScaleOption, ValuesOption } from "#distributions/tables/text/readingOptions.ts";
import type { SeriesContext, SeriesNotes } from "./seriesContext.ts";
import { type CellsOfValues, sameColumn, sameRow } from "./shares.ts";

/** Sums nearer than this to a whole are asked about as shares that miss it. */
const nearWhole = 0.01;

/** A word says per cent, but the values are as small as fractions: asked, since it changes every share a hundredfold. */
export function scaleDoubt(
  values: readonly number[],
  kind: ValuesOption,
  context: SeriesContext,
): Problem | null {
  const { scale } = context;
  const isClass = kind === "class";
  const reach = isClass ? values.reduce((a, b) => a + b, 0) : maxOf(values);
  const isSmall = isClass ? Math.abs(reach - 1) <= nearWhole + 1e-9 : reach <= 1.005 && reach > 0.5;
  if (scale?.source !== "table" || scale.value !== "percent" || !isSmall) return null;
  return {
    ...problem(
      "question",
      `Per cent is stated (${scale.evidence}), but the ${isClass ? "shares add to" : "cumulative values reach"} ${figuresText(reach)} only. Say whether they are per cent or fractions.`,
      {
        found: figuresText(reach),
        expected: "100 %, or 1 as a fraction",
      },
    ),
    choices: [
      { option: "scale", value: "fraction", d50Um: null },
      { option: "scale", value: "percent", d50Um: null },
    ],
  };
}

/** Class values that are no whole, where nothing says what they are: counts or masses, or shares with a part left out. */
export function amountDoubt(values: readonly number[], at: CellsOfValues): Problem | null {
  const sum = values.reduce((a, b) => a + b, 0);
  const isNear = [1, 100].some((whole) => Math.abs(sum / whole - 1) <= nearWhole);
  if (isNear || values.some((v) => v < 0) || !(sum > 0)) return null;
  const { cells } = at;
  const whole = sum < 1.5 ? 1 : 100;
  const lack =
    whole > sum
      ? `, or shares of which ${figuresText(100 * (1 - sum / whole))} % of the whole is missing`
      : "";
  return {
    ...problem(
      "question",
      `The values add to ${figuresText(sum)}, neither 1 nor 100: they can be counts or masses${lack}. Say that they are amounts, to be divided by their total; if classes were left out, bring the whole table in; if they are cumulative or a density, say so.`,
      {
        column: sameColumn(cells),
        row: sameRow(cells),
        found: `a sum of ${figuresText(sum)}`,
        expected: "1, 100 %, or amounts",
      },
    ),
    choices: [{ option: "scale", value: "amount", d50Um: null }],
  };
}

/** On what evidence the values are per cent, fractions, ppm or amounts. */
export function scaleGuess(
  values: readonly number[],
  scale: ScaleOption,
  kind: ValuesOption,
  context: SeriesContext,
): SeriesNotes {
  if (context.scale !== null)
    return {
      how: [
        {
          option: "scale",
          value: context.scale.value,
          source: context.scale.source,
          evidence: context.scale.evidence,
        },
      ],
      remarks: [],
    };
  const reach = kind === "class" ? values.reduce((a, b) => a + b, 0) : maxOf(values);
  const about = [1, 100].find((whole) => Math.abs(reach / whole - 1) <= 0.01);
  const evidence = `the values ${kind === "class" ? "add to" : "reach"} ${about === undefined ? figuresText(reach) : `about ${about}`}`;
  return {
    how: [{ option: "scale", value: scale, source: "assumed", evidence }],
    remarks: [
      problem(
        "note",
        `Nothing says per cent or fraction: read as ${scale === "percent" ? "per cent" : "fractions"}, since ${evidence}.`,
      ),
    ],
  };
}
