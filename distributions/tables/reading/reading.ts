import type { Problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { MeasurementOutcome } from "#distributions/tables/values/outcomes.ts";
import type { Guess } from "./guess.ts";
import type { TableReading } from "./tableReading.ts";

export interface Reading {
  readonly file: string | null;
  readonly measurements: readonly NamedMeasurement[];
  readonly problems: readonly Problem[];
  readonly how: readonly Guess[];
  /** What became of each measurement, in the order of the file. */
  readonly outcomes: readonly MeasurementOutcome[];
  /** How each table was read: what each of its lists is, and on what evidence. */
  readonly tables: readonly TableReading[];
  /** Lines around the tables. */
  readonly notes: readonly string[];
}

/** Nothing could be read, and why. */
export function refusal(file: string | null, ...problems: Problem[]): Reading {
  return { file, measurements: [], problems, how: [], outcomes: [], tables: [], notes: [] };
}
