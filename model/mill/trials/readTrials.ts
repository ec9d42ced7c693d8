import type { Problem } from "#distributions/problem.ts";
import { readColumns, requiredIn } from "#distributions/tables/reading/readColumns.ts";
import type { Trial } from "./trial.ts";

/** What else was set or noted of a trial: a number or a word, as noted. */
export interface TrialSetting {
  readonly name: string;
  readonly value: string;
  readonly unit: string;
}

export interface TrialsRead {
  readonly trials: readonly Trial[];
  /** Of each trial, what stands in the columns that were said to be settings; a blank cell is none. */
  readonly settings: readonly (readonly TrialSetting[])[];
  /** Headings that nothing is known of. */
  readonly unknown: readonly string[];
  readonly problems: readonly Problem[];
}

/**
 * Reads TRIALS.csv; only speedRpm and d50Um must be filled.
 *
 * @param kept  headings that nothing is known of, whose columns a person says to be settings
 */
export function readTrials(text: string, file: string | null, kept: readonly string[] = []): TrialsRead {
  const { rows, problems, unknown } = readColumns(text, file, {
    words: [],
    required: ["speedRpm", "d50Um"],
    optional: ["gasFlowM3PerH", "feedKgPerH", "d10Um", "d90Um", "productKgPerH", "holdUpKg"],
    kept,
  });
  const trials = rows.map((row) => ({
    speedRpm: requiredIn(row, "speedRpm"),
    gasFlowM3PerH: row.number["gasFlowM3PerH"] ?? null,
    feedKgPerH: row.number["feedKgPerH"] ?? null,
    d10Um: row.number["d10Um"] ?? null,
    d50Um: requiredIn(row, "d50Um"),
    d90Um: row.number["d90Um"] ?? null,
    productKgPerH: row.number["productKgPerH"] ?? null,
    holdUpKg: row.number["holdUpKg"] ?? null,
  }));
  const settings = rows.map(({ text: words }) =>
    unknown.flatMap((heading) => {
      const value = words[heading] ?? "";
      return value === "" ? [] : [{ ...namedAs(heading), value }];
    }),
  );
  return { trials, settings, unknown, problems };
}

/** A heading without the unit that stands in brackets behind it. */
function namedAs(heading: string): Pick<TrialSetting, "name" | "unit"> {
  const [, name, unit] = /^([^([]+?)\s*[([]([^()[\]]+)[)\]]$/.exec(heading.trim()) ?? [];
  return name === undefined || unit === undefined ? { name: heading, unit: "" } : { name, unit };
}
