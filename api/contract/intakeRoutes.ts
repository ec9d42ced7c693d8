import { createRoute, z } from "@hono/zod-openapi";
import { idField, listOf, metadataField, nameGiven, stageField } from "#api/records/fields.ts";
import { exampleOptions, exampleTable } from "./examples.ts";
import { optionsSchema } from "./questions.ts";
import {
  bodyOf,
  changeHeaders,
  json,
  problemContent,
  problemSchema,
  refused,
  tableSchema,
} from "./shapes.ts";

/** Measurements that one request may file. */
const maxRuns = 20_000;

const textGiven = z.string().max(400);
const said = z.object({
  material: textGiven.nullish(),
  lot: textGiven.nullish().openapi({ description: "A code such as A7, or the whole name" }),
  stage: stageField.nullish(),
  portion: textGiven.nullish(),
});
const pattern = z
  .object({
    text: textGiven,
    words: z.record(z.string().max(100), textGiven).default({}),
  })
  .openapi("NamePattern", {
    description:
      "How files are called, as {lot}_{stage}_{run} with * for what says nothing, and what short words mean",
  });

export const placeRuns = createRoute({
  method: "post",
  path: "/api/intake/places",
  operationId: "placeRuns",
  summary: "Where measurements go by their names: material, lot, stage, portion; and what is saved already",
  request: bodyOf(
    z.object({
      runs: z
        .array(
          z.object({
            file: textGiven.nullable(),
            name: textGiven,
            said: said.optional().openapi({ description: "What a person said, over what the names say" }),
            mark: z
              .string()
              .max(64)
              .optional()
              .openapi({ description: "Of the curve, to find the same one" }),
            sha256: z
              .string()
              .max(64)
              .optional()
              .openapi({ description: "Of the file, to find the same one" }),
          }),
        )
        .max(maxRuns),
      pattern: pattern.nullable().default(null),
    }),
    { runs: [{ file: "2026-11-03_LotA7_milled_p2.csv", name: "run 1" }] },
  ),
  responses: {
    200: json(
      "Each in its order",
      z.object({
        places: listOf(
          z.object({
            material: z.string().nullable(),
            lotId: idField.nullable(),
            lot: z.string().nullable(),
            stage: stageField.nullable(),
            portion: z.string().nullable(),
            question: z.string().nullable(),
            double: z
              .object({
                as: z.enum(["same file", "same curve"]),
                lotId: idField,
                lot: z.string(),
                stage: stageField.nullable(),
                name: z.string(),
              })
              .nullable(),
          }),
        ),
      }),
    ),
    ...refused(413, 422),
  },
});

const newLot = z.object({
  name: nameGiven,
  material: z.string().trim().min(1).max(200),
  densityGPerCm3: z
    .number()
    .positive()
    .max(30)
    .optional()
    .openapi({ description: "Needed where the material is new" }),
});
const filedRun = z.object({
  name: z.string().max(1000).openapi({ description: "As the table names it" }),
  lotId: idField.optional(),
  newLot: z
    .number()
    .int()
    .min(0)
    .optional()
    .openapi({ description: "Its place in lots, from 0, where the lot is new" }),
  stage: stageField,
  portion: textGiven.nullable().default(null),
});

const saved = z.object({
  seq: z.number().nullable(),
  lotIds: listOf(idField),
  kept: z.number(),
  problems: listOf(problemSchema),
});

export const importMany = createRoute({
  method: "post",
  path: "/api/intake",
  operationId: "importMany",
  summary: "Save measurements of many files in many lots, new ones made, as one change: all of it or nothing",
  request: {
    headers: changeHeaders,
    ...bodyOf(
      z.object({
        lots: z.array(newLot).max(maxRuns).default([]),
        tables: z.array(
          z.object({
            file: textGiven.nullable().default(null),
            text: z.string().optional(),
            base64: tableSchema.shape.base64,
            options: optionsSchema("describe"),
            howMeasured: metadataField.default({}),
            runs: z.array(filedRun).min(1),
          }),
        ),
      }),
      {
        lots: [{ name: "Garnet 14", material: "yttrium aluminium garnet", densityGPerCm3: 4.55 }],
        tables: [
          {
            file: "14 milled.csv",
            text: exampleTable.text,
            options: exampleOptions,
            runs: [{ name: "run 1", newLot: 0, stage: "milled" }],
          },
        ],
      },
    ),
  },
  responses: {
    201: json("What was saved: the change that one undo takes back, and the lots that runs went into", saved),
    422: {
      description: "Nothing was saved: the problems say of which table and why",
      content: {
        "application/json": { schema: saved },
        ...problemContent,
      },
    },
    ...refused(404, 413),
  },
});
