import { curveOf, sizeAt } from "#distributions/curve.ts";
import type { Choice } from "#distributions/problem.ts";
import type { Reading } from "#distributions/tables/reading/reading.ts";
import { type GivenTable, lengthOf, readGiven } from "#distributions/tables/readTable.ts";
import {
  type ReadingOptions,
  type WordOption,
  withAnswer,
} from "#distributions/tables/text/readingOptions.ts";

/** Single answers under which a table that is refused may be read, the likeliest first. */
const answers: readonly (readonly [WordOption, string])[] = [
  ["sum", "divide"],
  ["empty", "zero"],
  ["layout", "columns"],
  ["layout", "rows"],
  ["layout", "long"],
  ["decimal", "comma"],
  ["decimal", "point"],
  ["delimiter", "semicolon"],
  ["delimiter", "tab"],
  ["delimiter", "comma"],
  ["scale", "per-mille"],
  ["scale", "amount"],
  ["values", "undersize"],
  ["values", "oversize"],
  ["values", "class"],
  ["values", "density-decade"],
];
const maxOffered = 3;
/** Longer tables are read once only. */
const longest = 200_000;

/**
 * The readings nearest to one that came to nothing: answers to a single option under which the table is read, or only
 * asked about, with the D50 that gives. None for a reading that holds something or waits for an answer.
 *
 * @param table  as it was read
 */
export function nearestReadings(
  reading: Reading,
  table: GivenTable,
  options: ReadingOptions,
): readonly Choice[] {
  const isRefused =
    reading.measurements.length === 0 &&
    reading.problems.some((p) => p.severity === "refused") &&
    !reading.problems.some((p) => p.severity === "question");
  if (!isRefused || lengthOf(table) > longest) return [];
  const found: Choice[] = [];
  for (const [option, value] of answers) {
    if (found.length >= maxOffered) break;
    const more = options[option] === undefined ? withAnswer(options, option, value) : null;
    const d50Um = more === null ? undefined : medianOf(readGiven(table, reading.file, more));
    if (d50Um !== undefined) found.push({ option, value, d50Um });
  }
  return found;
}

/** The median that a reading comes to, null where a question is open; undefined where it is refused as well. */
function medianOf({ measurements, problems }: Reading): number | null | undefined {
  if (problems.some((p) => p.severity === "refused")) return undefined;
  const [first] = measurements;
  if (first !== undefined) return sizeAt(curveOf(first.distribution), 0.5);
  const question = problems.find((p) => p.severity === "question");
  return question === undefined ? undefined : (question.choices?.[0]?.d50Um ?? null);
}

/** Reads a table as `readGiven` does; where it is refused, its first refusal offers in `choices` what is nearest. */
export function readOrOffer(table: GivenTable, file: string | null, options: ReadingOptions): Reading {
  const reading = readGiven(table, file, options);
  const choices = nearestReadings(reading, table, options);
  const first = reading.problems.findIndex((p) => p.severity === "refused");
  if (choices.length === 0) return reading;
  return { ...reading, problems: reading.problems.map((p, i) => (i === first ? { ...p, choices } : p)) };
}
