import { type Problem, problem } from "#distributions/problem.ts";
import { figuresText } from "#distributions/tables/text/figuresText.ts";
import type { ScaleOption, ValuesOption } from "#distributions/tables/text/readingOptions.ts";
import type { SeriesContext, SeriesGuess } from "./seriesContext.ts";

/** A word says per cent, but the values are as small as fractions: asked, since it changes every share a hundredfold. */
export function scaleDoubt(
  values: readonly number[],
  kind: ValuesOption,
  context: SeriesContext,
): Problem | null {
  const { scale } = context;
  const reach = Math.max(...values);
  if (
    scale?.source !== "table" ||
    scale.value !== "percent" ||
    kind === "class" ||
    !(reach <= 1.005 && reach > 0.5)
  )
    return null;
  return {
    ...problem(
      "question",
      `Per cent is stated (${scale.evidence}), but the cumulative values reach ${figuresText(reach)} only. Say whether they are per cent or fractions.`,
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

/** Says on what evidence the values are per cent, fractions, ppm or amounts. */
export function scaleGuess(
  values: readonly number[],
  scale: ScaleOption,
  kind: ValuesOption,
  context: SeriesContext,
  how: SeriesGuess[],
  remarks: Problem[],
): void {
  if (context.scale !== null) {
    how.push({ option: "scale", ...context.scale });
    return;
  }
  const reach = kind === "class" ? values.reduce((a, b) => a + b, 0) : Math.max(...values);
  const about = [1, 100].find((whole) => Math.abs(reach / whole - 1) <= 0.01);
  const evidence = `the values ${kind === "class" ? "add to" : "reach"} ${about === undefined ? figuresText(reach) : `about ${about}`}`;
  how.push({ option: "scale", value: scale, source: "assumed", evidence });
  remarks.push(
    problem(
      "note",
      `Nothing says per cent or fraction: read as ${scale === "percent" ? "per cent" : "fractions"}, since ${evidence}.`,
    ),
  );
}
