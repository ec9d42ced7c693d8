import type { z } from "@hono/zod-openapi";
import { limits } from "#api/contract/limits.ts";
import { type Given, isOn, readingFlags, readingOptionsOf, readingSwitches } from "#api/contract/options.ts";
import type { optionsSchema } from "#api/contract/questions.ts";
import type { tableSchema } from "#api/contract/shapes.ts";
import { fileOptions, flagNamed, flagsOf, type Verb } from "#api/contract/verbs.ts";
import { UnusableInput } from "#api/faults.ts";
import type { Problem } from "#distributions/problem.ts";
import { type CandidateReading, candidateReadings } from "#distributions/tables/candidateReadings.ts";
import { readOrOffer } from "#distributions/tables/nearestReadings.ts";
import type { Reading } from "#distributions/tables/reading/reading.ts";
import { readRows } from "#distributions/tables/readTable.ts";
import { decode } from "#distributions/tables/text/decode.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import { isWorkbook, workbookText } from "#distributions/tables/workbook/workbook.ts";
import type { Answered } from "./powder.ts";

/** Options of a request under the names of the command line, with or without its dashes; one that no verb knows is said so. */
export function givenOf(options: z.infer<ReturnType<typeof optionsSchema>>, verb: Verb): Given {
  const known = [...readingFlags, ...readingSwitches, ...flagsOf(verb)];
  const given: Record<string, string | string[]> = {};
  for (const [name, value] of Object.entries(options ?? {})) {
    const bare = name.replace(/^--/, "");
    if (fileOptions.includes(bare)) continue;
    const flag = flagNamed(bare);
    if (!known.includes(flag))
      throw new UnusableInput(
        `There is no option ${name}. The options are ${known.join(", ")}.`,
        name,
        known.join(", "),
      );
    given[flag] = flag === "only" ? textsOf(value) : textsOf(value).join(",");
  }
  return given;
}

/** A table of a question, refused where an answer about so much would keep everybody else waiting. @throws UnusableInput */
export async function readQuestion(table: z.infer<typeof tableSchema>, given: Given): Promise<Answered> {
  const read = await readRequest(table, given);
  const runs = read.measurements.length;
  if (runs > limits.runs)
    throw new UnusableInput(
      `The table has ${runs} measurements; one question takes ${limits.runs}. Ask about parts of it.`,
    );
  const classes = read.measurements.reduce((sum, m) => sum + m.distribution.shares.length, 0);
  if (classes > limits.classes)
    throw new UnusableInput(
      `The measurements have ${classes} classes together; one question takes ${limits.classes}. Ask about fewer measurements, or merge classes.`,
    );
  return read;
}

/** A list of a question, of a length that can be answered. @throws UnusableInput */
export function answerable<T extends readonly unknown[]>(list: T, what: string): T {
  if (list.length <= limits.listed) return list;
  throw new UnusableInput(
    `There are ${list.length} ${what}; one question takes ${limits.listed}. Ask about the latest of them.`,
  );
}

export async function readRequest(table: z.infer<typeof tableSchema>, given: Given): Promise<Answered> {
  const options = readingOptionsOf(given);
  const file = table.name ?? null;
  const isExplained = isOn(given, "explain");
  const answered = (whole: string | Uint8Array) => {
    const reading = readOrOffer(whole, file, options);
    return withOutcomes(reading, isExplained ? candidateReadings(reading, whole, options) : []);
  };
  if (table.text !== undefined) return answered(table.text);
  if (table.rows !== undefined) return withOutcomes(readRows(table.rows, file, options));
  if (table.base64 === undefined)
    throw new UnusableInput(
      "Give the table as text, as rows of cells, or as base64 of a file.",
      "neither text nor rows nor base64",
      "text, rows or base64",
    );
  const bytes = Buffer.from(table.base64, "base64");
  const text = await textIn(bytes, options);
  if (typeof text !== "string") return { measurements: [], problems: [{ ...text, file }] };
  return answered(isWorkbook(bytes) ? text : bytes);
}

/** The text of a file as received, a workbook's cells with tabs; a problem where it was refused unopened. */
export async function textIn(bytes: Uint8Array, options: ReadingOptions): Promise<string | Problem> {
  return isWorkbook(bytes) ? workbookText(bytes) : decode(bytes, options.encoding).text;
}

/** A reading with what became of each measurement and the readings that stand beside it, by its file. */
export function withOutcomes(
  { file, measurements, problems, outcomes, tables }: Reading,
  candidates: readonly CandidateReading[] = [],
) {
  const became = outcomes.map(({ measurement, state }) => ({ file, measurement, state }));
  return {
    measurements,
    problems,
    outcomes: became,
    tables: tables.map((table) => ({ file, ...table })),
    candidates: candidates.map((one) => ({ file, ...one })),
  };
}

function textsOf(value: unknown): string[] {
  return (Array.isArray(value) ? value : [value]).map((part: unknown) =>
    typeof part === "object" ? JSON.stringify(part) : String(part),
  );
}
