import type { Problem } from "#distributions/problem.ts";
import { readColumns, requiredIn } from "#distributions/tables/reading/readColumns.ts";
import type { BetPair } from "./bet.ts";

/** Reads PAIRS.csv: stage, geometricM2PerG, betM2PerG, and how it was measured where it was noted. */
export function readPairs(
  text: string,
  file: string | null,
): { pairs: readonly BetPair[]; problems: readonly Problem[] } {
  const { rows, problems } = readColumns(text, file, {
    words: ["stage"],
    required: ["geometricM2PerG", "betM2PerG"],
    optional: ["densityGPerCm3"],
    optionalWords: ["instrument", "optics", "dopantClass", "measuredOn"],
  });
  const pairs = rows.map((row): BetPair => {
    const noted = (name: "instrument" | "optics" | "dopantClass" | "measuredOn") => {
      const word = row.text[name] ?? "";
      return word === "" ? {} : { [name]: word };
    };
    const density = row.number["densityGPerCm3"] ?? null;
    return {
      stage: row.text["stage"] ?? "",
      geometricM2PerG: requiredIn(row, "geometricM2PerG"),
      betM2PerG: requiredIn(row, "betM2PerG"),
      ...noted("instrument"),
      ...noted("optics"),
      ...noted("dopantClass"),
      ...noted("measuredOn"),
      ...(density === null ? {} : { densityGPerCm3: density }),
    };
  });
  return { pairs, problems };
}
