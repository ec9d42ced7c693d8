import { createRoute, z } from "@hono/zod-openapi";
import { idField, listOf, stageField } from "#api/records/fields.ts";
import { columnUses } from "#model/intake/labColumnWords.ts";
import { optionsSchema } from "./questions.ts";
import { bodyOf, changeHeaders, json, problemSchema, refused } from "./shapes.ts";

const fileGiven = z.object({
  file: z.string().max(400).nullable().default(null),
  text: z.string().optional(),
  base64: z
    .base64()
    .optional()
    .openapi({ description: "The bytes of a file: a workbook, or text in any encoding" }),
});
const columnSaid = z.object({
  as: z.enum(columnUses),
  name: z.string().trim().min(1).max(100).optional(),
  unit: z.string().max(50).optional(),
  stage: stageField.max(100).nullish(),
});

export const takeTable = createRoute({
  method: "post",
  path: "/api/lab-table",
  operationId: "takeLabTable",
  summary:
    "A table of the lab's own (settings, results, days, masses, a history of lots) under any headings, with curve files beside it: what each row becomes, and saved as one change where asked",
  request: {
    headers: changeHeaders,
    ...bodyOf(
      fileGiven.extend({
        stage: stageField
          .max(100)
          .optional()
          .openapi({ description: "Where neither heading nor row names one" }),
        material: z.string().trim().min(1).max(200).optional(),
        densityGPerCm3: z
          .number()
          .positive()
          .max(30)
          .optional()
          .openapi({ description: "Of a material that is new" }),
        columns: z
          .record(z.string().max(1000), columnSaid)
          .optional()
          .openapi({ description: "What columns are, by their headings, over what their words say" }),
        beside: z
          .array(fileGiven.extend({ options: optionsSchema("describe") }))
          .max(2000)
          .default([]),
        save: z.boolean().default(false),
      }),
      {
        text: "Lot\tFiring temp (°C)\tBET m2/g\nGarnet 14\t1150\t1.21\n",
        material: "yttrium aluminium garnet",
        stage: "fired",
      },
    ),
  },
  responses: {
    200: json(
      "The columns as they are taken, what each row becomes, and the change that one undo takes back",
      z.object({
        columns: listOf(
          z.object({
            heading: z.string(),
            as: z.enum([...columnUses, "open"]),
            name: z.string(),
            unit: z.string(),
            stage: stageField.nullable(),
          }),
        ),
        rows: listOf(
          z.object({
            row: z.number(),
            lot: z.string().nullable(),
            lotId: idField.nullable(),
            material: z.string().nullable(),
            became: z.string(),
            isKept: z.boolean(),
          }),
        ),
        problems: listOf(problemSchema),
        kept: z.number(),
        lots: z.number(),
        seq: z.number().nullable(),
      }),
    ),
    ...refused(404, 413, 422),
  },
});

export const copyTable = createRoute({
  method: "get",
  path: "/api/lab-table",
  operationId: "copyLabTable",
  summary:
    "Settings, results, days and masses of lots as a table with tabs, which reads back as the very same",
  request: {
    query: z.object({
      material: z.string().max(200).optional().openapi({ example: "yttrium aluminium garnet" }),
    }),
  },
  responses: { 200: json("The table", z.object({ text: z.string(), lots: z.number() })), ...refused(422) },
});
