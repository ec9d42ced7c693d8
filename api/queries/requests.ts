import { z } from "@hono/zod-openapi";
import { UnusableInput } from "#api/faults.ts";
import type { Problem } from "#distributions/problem.ts";
import type { Reading } from "#distributions/tables/reading/reading.ts";
import { readRows, readTable } from "#distributions/tables/readTable.ts";
import { decode } from "#distributions/tables/text/decode.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import { isWorkbook, workbookText } from "#distributions/tables/workbook/workbook.ts";
import { type Given, readingFlags, readingOptionsOf, readingSwitches } from "./options.ts";
import { type Answered, verbFlags } from "./powder.ts";

const cell = z.union([z.string(), z.number(), z.null()]);
const optionValue = z.union([
  z.string(),
  z.number(),
  z.boolean(),
  z.array(z.union([z.string(), z.number()])),
]);

/** A table as text, as rows of cells, or as the bytes of a file: text in any encoding, or a workbook. */
export const tableSchema = z.object({
  text: z.string().optional(),
  base64: z
    .base64()
    .optional()
    .openapi({ description: "The bytes of a file as received: .xlsx, or text in any encoding" }),
  rows: z.array(z.array(cell)).optional(),
  name: z.string().optional().openapi({ description: "File name, for messages" }),
});

export const optionsSchema = z
  .record(z.string(), z.union([optionValue, z.looseObject({}), z.array(z.looseObject({}))]))
  .optional()
  .openapi({
    description:
      "The options of the command line by their names without dashes, such as edge, quantity, in-class (or inClass), density",
  });

export const problemSchema = z
  .object({
    file: z.string().nullable(),
    measurement: z.string().nullable(),
    sheet: z.string().exactOptional(),
    row: z.number().nullable(),
    column: z.number().nullable(),
    severity: z.enum(["note", "question", "refused"]),
    found: z.string().nullable(),
    expected: z.string().nullable(),
    effect: z.string().nullable(),
    message: z.string(),
    choices: z
      .array(z.object({ option: z.string(), value: z.string(), d50Um: z.number().nullable() }))
      .readonly()
      .optional(),
  })
  .openapi("Problem");

/** Options of a request under the names of the command line; one that no verb knows is said so. */
export function givenOf(options: z.infer<typeof optionsSchema>, verb: keyof typeof verbFlags): Given {
  const known: readonly string[] = [...readingFlags, ...readingSwitches, ...verbFlags[verb]];
  const given: Record<string, string | string[]> = {};
  for (const [name, value] of Object.entries(options ?? {})) {
    if (records.includes(name)) continue;
    const flag = aliases[name] ?? name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);
    if (!known.includes(flag))
      throw new UnusableInput(
        `There is no option ${name}. Known are ${known.join(", ")}.`,
        name,
        known.join(", "),
      );
    given[flag] = flag === "only" ? textsOf(value) : textsOf(value).join(",");
  }
  return given;
}

/** What the command line takes as a file stands in a request as itself, beside the options or among them. */
const records: readonly string[] = ["band", "pairs", "mill", "trials", "refire", "curves", "priors"];

/** Names that carry their unit, as the answers do. */
const aliases: Readonly<Record<string, string>> = {
  densityGPerCm3: "density",
  firstEdgeUm: "first-edge",
  targetD50Um: "target-d50",
  speedRpm: "speed",
  flowM3PerH: "flow",
  feedKgPerH: "feed",
  pressureBar: "pressure",
  ratedBar: "rated",
  belowUm: "below",
};

export async function readRequest(table: z.infer<typeof tableSchema>, given: Given): Promise<Answered> {
  const options = readingOptionsOf(given);
  const file = table.name ?? null;
  if (table.text !== undefined) return withOutcomes(readTable(table.text, file, options));
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
  return withOutcomes(readTable(isWorkbook(bytes) ? text : bytes, file, options));
}

/** The text of a file as received, a workbook's cells with tabs; a problem where it was refused unopened. */
export async function textIn(bytes: Uint8Array, options: ReadingOptions): Promise<string | Problem> {
  return isWorkbook(bytes) ? workbookText(bytes) : decode(bytes, options.encoding).text;
}

/** A reading with what became of each measurement, by its file. */
export function withOutcomes({ file, measurements, problems, outcomes, tables }: Reading) {
  const became = outcomes.map(({ measurement, state }) => ({ file, measurement, state }));
  return { measurements, problems, outcomes: became, tables: tables.map((table) => ({ file, ...table })) };
}

function textsOf(value: unknown): string[] {
  return (Array.isArray(value) ? value : [value]).map((part: unknown) =>
    typeof part === "object" ? JSON.stringify(part) : String(part),
  );
}
