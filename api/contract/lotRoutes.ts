import { createRoute, z } from "@hono/zod-openapi";
import {
  curveFields,
  dayGiven,
  idField,
  listOf,
  metadataAnswer,
  nameGiven,
  noteGiven,
  stageField,
  stageWord,
} from "#api/records/fields.ts";
import { lotFields, lotStates, parentFields, stateFields } from "#api/records/lot.ts";
import { measurementFields } from "#api/records/measurement.ts";
import { changeRoute, removeRoute, saved } from "./entryRoutes.ts";
import {
  bodyOf,
  changeHeaders,
  damagedSchema,
  idParameter,
  idsField,
  json,
  numbered,
  refused,
  wholeNumber,
} from "./shapes.ts";
import { summaryFields } from "./summaries.ts";

const newLot = lotFields.omit({ keptAt: true, state: true }).extend({
  name: nameGiven,
  material: z.string().max(200).optional().openapi({
    description:
      "The name finds the material, or makes it in the same change; left out of a change, it stays; empty takes it away",
  }),
  materialId: idField.nullish().openapi({ description: "Wins over the name" }),
  densityGPerCm3: z
    .number()
    .positive()
    .max(30)
    .optional()
    .openapi({ description: "Left out, that of the material" }),
  bandId: idField.nullable().default(null),
  note: noteGiven,
  dateMade: dayGiven.nullish().openapi({ description: "Left out of a change, it stays; null takes it away" }),
  parents: listOf(parentFields.extend({ stage: stageWord }))
    .optional()
    .openapi({ description: "The lots its powder came from; left out of a change, they stay" }),
  exclusionReason: z.string().trim().min(1).max(1000).nullish().openapi({
    description: "Why it teaches nothing; left out of a change, it stays; null includes it again",
  }),
});
const exampleLot = { name: "Garnet 13", material: "yttrium aluminium garnet", densityGPerCm3: 4.55 };
const lotSchema = saved(lotFields)
  .extend({
    stages: listOf(
      z.object({
        stage: stageField,
        runs: z.number(),
        name: z
          .string()
          .exactOptional()
          .openapi({ description: "What its material calls the stage, where that is another word" }),
      }),
    ),
    materialId: idField.nullable(),
    dateMade: z.string().nullable(),
    parents: listOf(parentFields),
    state: stateFields,
    exclusionReason: z.string().nullable(),
  })
  .openapi("Lot");
const measurementSchema = saved(measurementFields.omit({ importId: true }))
  .extend({
    file: z.string().nullable(),
    distribution: curveFields,
    exclusionReason: z.string().nullable(),
    howMeasured: metadataAnswer.exactOptional(),
  })
  .openapi("Measurement");
const wholeLot = z.object({
  lot: lotSchema,
  measurements: listOf(measurementSchema),
  damaged: damagedSchema,
});

const figure = z.coerce.number().nonnegative().optional();
const summaryQuery = {
  sort: z.enum(["day", "name", "verdict", "chance", "d10", "d50", "d90", "area", "bet"]).optional().openapi({
    description: "Wins over order; day is the day it was made, else saved. Lots not known of stand last",
  }),
  direction: z
    .enum(["ascending", "descending"])
    .optional()
    .openapi({ description: "By name ascending if left out, else descending" }),
  cursor: z
    .string()
    .max(2000)
    .optional()
    .openapi({ description: "next of the page before, asked with all else as it was" }),
  stage: stageWord.optional().openapi({
    description:
      "Whose summary is shown, sorted and filtered by; left out, that of the band where the lot has runs of it, else the furthest",
  }),
  verdict: z.enum(["in band", "on the edge", "out of band", "too few runs"]).optional(),
  with: z.enum(["standing"]).optional().openapi({
    description: "What is answered beside the figures: how each lot stands by each limit",
  }),
  chanceFrom: figure,
  chanceTo: figure,
  d50FromUm: figure,
  d50ToUm: figure,
  betFrom: figure,
  betTo: figure,
  madeFrom: dayGiven.optional(),
  madeTo: dayGiven.optional(),
};

export const listLots = createRoute({
  method: "get",
  path: "/api/lots",
  operationId: "listLots",
  summary: "All lots, or those that are asked for",
  request: {
    query: z.object({
      search: z
        .string()
        .max(200)
        .optional()
        .openapi({ description: "Words that all occur in name, material or note", example: "garnet" }),
      material: z
        .string()
        .max(200)
        .optional()
        .openapi({ description: "Only lots of this material, by its name", example: "garnet" }),
      materialId: wholeNumber
        .optional()
        .openapi({ type: "integer", description: "Only lots of this material, by its number" }),
      state: z.enum(lotStates).optional().openapi({ description: "Only lots in this state" }),
      limit: wholeNumber.optional().openapi({ type: "integer", description: "At most this many" }),
      offset: wholeNumber.optional().openapi({ type: "integer", description: "Leaving out this many" }),
      order: z
        .enum(["saved", "newest"])
        .optional()
        .openapi({ description: "In the order they were saved, as without it, or the newest first" }),
      ...summaryQuery,
    }),
  },
  responses: {
    200: json(
      "Lots, and how many there are of those asked for",
      z.object({
        lots: listOf(lotSchema.extend({ summary: summaryFields.nullable() }).openapi("ListedLot")),
        total: z.number(),
        next: z
          .string()
          .nullable()
          .openapi({ description: "The cursor of the next page, also in the Link header; null at the end" }),
        damaged: damagedSchema,
      }),
    ),
    ...refused(422),
  },
});
export const showSummaries = createRoute({
  method: "get",
  path: "/api/lots/{id}/summaries",
  operationId: "showSummaries",
  summary: "What was computed of each stage of a lot in the background, and what it rests on",
  request: { params: idParameter },
  responses: {
    200: json("The summaries", z.object({ summaries: listOf(summaryFields) })),
    ...refused(404),
  },
});
export const keepLot = createRoute({
  method: "post",
  path: "/api/lots",
  operationId: "keepLot",
  summary: "Keep a lot",
  request: { headers: changeHeaders, ...bodyOf(newLot, exampleLot) },
  responses: { 201: json("The lot", wholeLot), ...refused(413, 422) },
});
export const showLot = createRoute({
  method: "get",
  path: "/api/lots/{id}",
  operationId: "showLot",
  summary: "A lot with its measurements; its version is the ETag",
  request: { params: idParameter },
  responses: { 200: json("The lot", wholeLot), ...refused(404) },
});
export const showWholeLots = createRoute({
  method: "get",
  path: "/api/whole-lots",
  operationId: "showWholeLots",
  summary: "Several lots with their measurements; those that are not there are left out",
  request: {
    query: z.object({
      ids: idsField,
    }),
  },
  responses: {
    200: json(
      "The lots, in the order they were saved",
      z.object({ lots: listOf(wholeLot), damaged: damagedSchema }),
    ),
    ...refused(422),
  },
});
const lot = { path: "/api/lots", kind: "lot", called: "Lot" } as const;
export const changeLot = changeRoute(lot, newLot, exampleLot);
export const removeLot = removeRoute(lot);
export const setState = createRoute({
  method: "post",
  path: "/api/lots/{id}/state",
  operationId: "setState",
  summary: "Say that a lot is on hold, released, scrapped, or went into another lot",
  request: {
    params: idParameter,
    headers: changeHeaders,
    ...bodyOf(
      z.object({
        name: z.enum(lotStates),
        why: z.string().max(1000).default(""),
        lotId: idField
          .nullable()
          .default(null)
          .openapi({ description: "The lot it was reworked or blended into" }),
      }),
      { name: "on hold", why: "lumps" },
    ),
  },
  responses: { 200: json("The lot", numbered), ...refused(404, 412, 413, 422) },
});
export const reworkLot = createRoute({
  method: "post",
  path: "/api/lots/{id}/rework",
  operationId: "reworkLot",
  summary: "Work a lot again: a new lot of all its powder, and the lot marked as gone into it, as one change",
  request: {
    params: idParameter,
    headers: changeHeaders,
    ...bodyOf(
      z.object({
        name: nameGiven.openapi({ description: "Of the new lot" }),
        stage: stageWord.openapi({ description: "The stage at which the powder is taken" }),
        massG: z.number().positive().nullable().default(null),
        why: z.string().max(1000).default(""),
      }),
      { name: "Garnet 13 R", stage: "milled", massG: 480, why: "too coarse" },
    ),
  },
  responses: { 201: json("The new lot", wholeLot), ...refused(404, 412, 413, 422) },
});
