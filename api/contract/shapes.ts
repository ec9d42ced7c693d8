import { z } from "@hono/zod-openapi";
import { listOf } from "#api/records/fields.ts";
import { kindNames } from "#api/records/kinds.ts";

const cell = z.union([z.string(), z.number(), z.null()]);
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
    choices: listOf(
      z.object({ option: z.string(), value: z.string(), d50Um: z.number().nullable() }),
    ).exactOptional(),
  })
  .openapi("Problem");

export const outcomesSchema = listOf(
  z.object({
    file: z.string().nullable(),
    measurement: z.string(),
    state: z.enum(["read", "read with notes", "needs an answer", "refused"]),
  }),
).openapi({ description: "What became of each measurement of the table" });

/** An entry's number and the event that last touched it: the version If-Match takes. */
export const numbered = z.object({ id: z.number(), version: z.number() });

export const damagedSchema = listOf(
  z.object({ kind: z.enum(kindNames), id: z.number(), message: z.string() }),
).openapi({ description: "Entries that do not match their checksum: reported, never shown as numbers" });

/** What went wrong. Source: RFC 9457. */
const problemDetails = z
  .object({
    type: z.string(),
    title: z.string(),
    status: z.number().int(),
    detail: z.string().openapi({ description: "A sentence for a person" }),
    instance: z.string(),
    theirs: z
      .object({ version: z.number(), body: z.unknown() })
      .nullable()
      .exactOptional()
      .openapi({ description: "With 412: what stands; null where it was deleted" }),
  })
  .openapi("ProblemDetails");

const refusals = {
  401: "Nobody signed in, or name or password is wrong",
  404: "There is no such entry",
  409: "Not possible as things stand",
  412: "Someone else changed it: theirs is what stands",
  413: "The request is too large",
  422: "The request cannot be used: detail says what is wrong and what was expected",
  429: "Too many attempts: Retry-After says when the next is taken",
  503: "Too much at once, or more than one question may take: Retry-After says when to ask again",
} as const;

export const problemContent = { "application/problem+json": { schema: problemDetails } };

/** The refusals that a route declares, each as problem details. A handler throws them, so none is of its own answers. */
export function refused(...statuses: readonly (keyof typeof refusals)[]): Record<never, never> {
  return Object.fromEntries(
    statuses.map((status) => [status, { description: refusals[status], content: problemContent }]),
  );
}

/** An answer in JSON. */
export function json<S extends z.ZodType>(description: string, schema: S) {
  return { description, content: { "application/json": { schema } } };
}

/**
 * What stands in a file such as BAND.json. The file's own reader checks it and says in words what is wrong; the document
 * shows the shape of that name.
 */
export function fileOf<T>(component: "Band" | "Mill" | "Priors") {
  return z.custom<T>().openapi({ type: "object", allOf: [{ $ref: `#/components/schemas/${component}` }] });
}

/** A body in JSON that must be there, with an example of one; a test sends each. */
export function bodyOf<S extends z.ZodType>(schema: S, example: object | null) {
  return { body: { required: true, content: { "application/json": { schema, example } } } };
}

/** A whole number, as the text that a path or a query is. A transform, so that the document says integer. */
export const wholeNumber = z
  .string()
  .regex(/^\d{1,9}$/)
  .transform(Number);

/** What is asked for at once stays far below what one answer may hold. */
const maxAtOnce = 100;

/** Several entries by their numbers, as one field of a query. */
export const idsField = z
  .string()
  .regex(/^\d{1,9}(,\d{1,9}){0,99}$/, `up to ${maxAtOnce} numbers with commas between them`)
  .openapi({ description: `Up to ${maxAtOnce} numbers of lots with commas between them`, example: "1,2" });

export const idsIn = (ids: z.infer<typeof idsField>): readonly number[] => ids.split(",").map(Number);

export const idParameter = z.object({
  id: wholeNumber.openapi({ param: { name: "id", in: "path" }, type: "integer", example: 1 }),
});

/** What a request that changes something may carry beside its body. */
export const changeHeaders = z.object({
  "x-by": z.string().max(600).optional().openapi({ description: "Who does it, percent-encoded" }),
  "x-why": z.string().max(6000).optional().openapi({ description: "Why, percent-encoded" }),
  "idempotency-key": z
    .string()
    .min(1)
    .max(200)
    .optional()
    .openapi({ description: "A repeat with the same key makes no duplicate" }),
  "if-match": z
    .string()
    .optional()
    .openapi({ description: "The version the change was made against, in quotes", example: '"12"' }),
});
