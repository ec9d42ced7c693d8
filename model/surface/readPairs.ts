import type { Problem } from "#distributions/problem.ts";
import { readColumns } from "#distributions/tables/readColumns.ts";
import type { BetPair } from "./bet.ts";

/** Reads PAIRS.csv: stage, geometricM2PerG, betM2PerG. */
export function readPairs(
  text: string,
  file: string | null,
): { pairs: readonly BetPair[]; problems: readonly Problem[] } {
  const { rows, problems } = readColumns(text, file, {
    words: ["stage"],
    required: ["geometricM2PerG", "betM2PerG"],
    optional: [],
  });
  const pairs = rows.map((row) => ({
    stage: row.text["stage"] ?? "",
    geometricM2PerG: row.number["geometricM2PerG"] ?? 0,
    betM2PerG: row.number["betM2PerG"] ?? 0,
  }));
  return { pairs, problems };
}
