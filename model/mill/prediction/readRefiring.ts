import type { Problem } from "#distributions/problem.ts";
import { readColumns, requiredIn } from "#distributions/tables/reading/readColumns.ts";
import { type RefiringPair, tablePercents } from "./refiringGrowth.ts";

/** Reads REFIRE.csv: lot and D10, D50, D90 milled and re-fired, µm. */
export function readRefiring(
  text: string,
  file: string | null,
): { pairs: readonly RefiringPair[]; problems: readonly Problem[] } {
  const milled = ["d10MilledUm", "d50MilledUm", "d90MilledUm"];
  const refired = ["d10RefiredUm", "d50RefiredUm", "d90RefiredUm"];
  const { rows, problems } = readColumns(text, file, {
    words: ["lot"],
    required: [...milled, ...refired],
    optional: [],
  });
  const pairs = rows.map((row) => ({
    lot: row.text["lot"] ?? "",
    percents: tablePercents,
    milledUm: milled.map((name) => requiredIn(row, name)),
    refiredUm: refired.map((name) => requiredIn(row, name)),
  }));
  return { pairs, problems };
}
