import { createRoute, z } from "@hono/zod-openapi";
import { dayGiven, listOf, metadataField, nameGiven, reasonGiven, stageWord } from "#api/records/fields.ts";
import { portionFields } from "#api/records/measurement.ts";
import { changeRoute } from "./entryRoutes.ts";
import { exampleOptions, exampleTable } from "./examples.ts";
import { optionsSchema } from "./questions.ts";
import {
  bodyOf,
  changeHeaders,
  idParameter,
  json,
  numbered,
  outcomesSchema,
  problemContent,
  problemSchema,
  refused,
  tableSchema,
} from "./shapes.ts";

const portionGiven = portionFields.extend({
  name: nameGiven,
  drawn: z.string().max(1000).default(""),
  divided: z.string().max(1000).exactOptional(),
  massG: portionFields.shape.massG.default(null),
  day: dayGiven.nullable().default(null),
});
const imported = z.object({
  kept: z.number(),
  problems: listOf(problemSchema),
  outcomes: outcomesSchema,
});
export const importTable = createRoute({
  method: "post",
  path: "/api/lots/{id}/measurements",
  operationId: "importTable",
  summary: "Bring in a table: every measurement that can be read, none that cannot",
  request: {
    params: idParameter,
    headers: changeHeaders,
    ...bodyOf(
      z.object({
        stage: stageWord,
        file: z
          .string()
          .max(400)
          .nullable()
          .default(null)
          .transform((file) => (file === "" ? null : file)),
        text: z.string().optional(),
        base64: tableSchema.shape.base64,
        options: optionsSchema("describe"),
        howMeasured: metadataField.default({}).openapi({
          description: "Laid over what the table states of it; null takes a field back",
        }),
        portion: portionGiven
          .optional()
          .openapi({ description: "The portion that its runs were measured on" }),
      }),
      { stage: "milled", file: "lot.csv", text: exampleTable.text, options: exampleOptions },
    ),
  },
  responses: {
    201: json("What was kept, and what was said while reading", imported),
    422: {
      description: "Nothing was kept: the problems say why. Or what of the request cannot be used",
      content: { "application/json": { schema: imported }, ...problemContent },
    },
    ...refused(404, 413),
  },
});
const run = { path: "/api/measurements", kind: "measurement", called: "Measurement" } as const;
export const changeMeasurement = changeRoute(
  run,
  z.object({
    name: nameGiven,
    stage: stageWord,
    exclusionReason: reasonGiven(1000),
    howMeasured: metadataField
      .optional()
      .openapi({ description: "All of how it was measured; left out, it stays as it is" }),
    portion: portionGiven
      .nullish()
      .openapi({ description: "The portion it was measured on; left out, it stays; null takes it away" }),
  }),
  { name: "run 1", stage: "re-fired", exclusionReason: null },
);
export const noteHowMeasured = createRoute({
  method: "post",
  path: "/api/how-measured",
  operationId: "noteHowMeasured",
  summary:
    "Note how several runs of a lot were measured, over what they state; all of them or none, and null takes a field back",
  request: {
    headers: changeHeaders,
    ...bodyOf(
      z.object({
        runs: z
          .array(numbered)
          .min(1)
          .max(1000)
          .refine((runs) => new Set(runs.map((one) => one.id)).size === runs.length, {
            message: "each run once",
          }),
        howMeasured: metadataField.default({}),
        portion: portionGiven.nullish().openapi({
          description: "The portion they were measured on; left out, it stays; null takes it away",
        }),
      }),
      { runs: [{ id: 1, version: 2 }], howMeasured: { operator: "A", instrument: "laser A" } },
    ),
  },
  responses: {
    200: json("How many runs", z.object({ noted: z.number() })),
    ...refused(404, 412, 413, 422),
  },
});
