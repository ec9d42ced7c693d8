import { createRoute, z } from "@hono/zod-openapi";
import { pairFields } from "#api/records/betPair.ts";
import { listOf, stageWord } from "#api/records/fields.ts";
import { lotHistoryAnswer } from "./millAnswers.ts";
import { damagedSchema, idParameter, json, numbered, refused } from "./shapes.ts";

export const maxLots = 200;
export const showLotHistory = createRoute({
  method: "get",
  path: "/api/lot-history",
  operationId: "showLotHistory",
  summary:
    "Sizes, settings and other results of the latest lots with runs of a stage, in the order they were made",
  request: {
    query: z.object({
      stage: stageWord.default("re-fired"),
      "below-um": z.coerce.number().positive().max(1e5).default(1),
      limit: z.coerce.number().int().min(1).max(maxLots).default(maxLots),
      material: z
        .string()
        .max(200)
        .optional()
        .openapi({ description: "Only lots of this material", example: "yttrium aluminium garnet" }),
    }),
  },
  responses: {
    200: json(
      "The history, and whose lots it rests on where a material was asked for",
      lotHistoryAnswer.extend({ ground: z.string().exactOptional(), damaged: damagedSchema }),
    ),
    ...refused(422),
  },
});

const taught = z.object({
  stage: stageWord.default("re-fired"),
  borrowFrom: z
    .string()
    .max(200)
    .optional()
    .openapi({ description: "Another material whose lots are asked instead; the sentence names it" }),
});

export const showGround = createRoute({
  method: "get",
  path: "/api/lots/{id}/ground",
  operationId: "showGround",
  summary: "Whose lots an answer about a stage of a lot rests on: the newest others of its material",
  request: {
    params: idParameter,
    query: taught.extend({
      withItself: z.enum(["true", "false"]).optional().openapi({
        description: "The lot itself among them, as a plan for the next lot of its material takes it",
      }),
    }),
  },
  responses: {
    200: json(
      "The ground",
      z.object({
        material: z.string(),
        sentence: z.string(),
        lots: listOf(numbered.extend({ name: z.string() })),
        independent: z.number().openapi({ description: "Children of one parent count as one" }),
        leftOut: listOf(z.object({ lotId: z.number(), why: z.string() })),
      }),
    ),
    ...refused(404, 422),
  },
});

export const showCalibration = createRoute({
  method: "get",
  path: "/api/lots/{id}/calibration",
  operationId: "showCalibration",
  summary:
    "The BET pairs that hold for a stage of a lot: those of other lots of its material, and those typed for it",
  request: { params: idParameter, query: taught },
  responses: {
    200: json(
      "The pairs, and whose lots they follow from",
      z.object({
        ground: z.string(),
        pairs: listOf(
          pairFields.extend({
            lotId: z.number().nullable().openapi({ description: "The lot it follows from" }),
            typed: z.boolean(),
          }),
        ),
      }),
    ),
    ...refused(404, 422),
  },
});
