import type { Problem } from "#distributions/problem.ts";
import { readColumns, requiredIn } from "#distributions/tables/reading/readColumns.ts";
import type { PressureTrial } from "./pressureRegression.ts";

/** Reads trials under pressureBar, feedKgPerH, d50Um; the feed may be empty. */
export function readPressureTrials(
  text: string,
  file: string | null,
): {
  trials: readonly PressureTrial[];
  problems: readonly Problem[];
} {
  const { rows, problems } = readColumns(text, file, {
    words: [],
    required: ["pressureBar", "d50Um"],
    optional: ["feedKgPerH"],
  });
  return {
    trials: rows.map((row) => ({
      pressureBar: requiredIn(row, "pressureBar"),
      feedKgPerH: row.number["feedKgPerH"] ?? null,
      d50Um: requiredIn(row, "d50Um"),
    })),
    problems,
  };
}
