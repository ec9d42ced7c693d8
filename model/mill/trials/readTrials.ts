import type { Problem } from "#distributions/problem.ts";
import { readColumns } from "#distributions/tables/reading/readColumns.ts";
import type { Trial } from "./trial.ts";

/** Reads TRIALS.csv; only speedRpm and d50Um must be filled. */
export function readTrials(
  text: string,
  file: string | null,
): { trials: readonly Trial[]; problems: readonly Problem[] } {
  const { rows, problems } = readColumns(text, file, {
    words: [],
    required: ["speedRpm", "d50Um"],
    optional: ["gasFlowM3PerH", "feedKgPerH", "d10Um", "d90Um", "productKgPerH", "holdUpKg"],
  });
  const trials = rows.map(({ number }) => ({
    speedRpm: number["speedRpm"] ?? 0,
    gasFlowM3PerH: number["gasFlowM3PerH"] ?? null,
    feedKgPerH: number["feedKgPerH"] ?? null,
    d10Um: number["d10Um"] ?? null,
    d50Um: number["d50Um"] ?? 0,
    d90Um: number["d90Um"] ?? null,
    productKgPerH: number["productKgPerH"] ?? null,
    holdUpKg: number["holdUpKg"] ?? null,
  }));
  return { trials, problems };
}
