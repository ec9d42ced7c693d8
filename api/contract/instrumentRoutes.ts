import { createRoute, z } from "@hono/zod-openapi";
import { listOf } from "#api/records/fields.ts";
import { json, refused } from "./shapes.ts";

const range = z.object({ low: z.number(), middle: z.number(), high: z.number() });

export const instrumentChecks = createRoute({
  method: "get",
  path: "/api/instrument-checks",
  operationId: "instrumentChecks",
  summary: "The checks of each instrument on reference materials as series, with their limits",
  responses: {
    200: json(
      "Each instrument",
      z.object({
        instruments: listOf(
          z.object({
            name: z.string(),
            sentence: z.string(),
            series: listOf(
              z.object({
                referenceMaterial: z.string(),
                quantity: z.string(),
                values: listOf(
                  z.object({
                    day: z.string(),
                    deviationPercent: z.number(),
                    isBeyondStated: z.boolean().nullable(),
                  }),
                ),
                limits: range.nullable(),
                outside: listOf(z.string()),
              }),
            ),
          }),
        ),
      }),
    ),
    ...refused(422),
  },
});

const word = z.string().trim().min(1).max(200);
export const instrumentOffset = createRoute({
  method: "get",
  path: "/api/instrument-offset",
  operationId: "instrumentOffset",
  summary:
    "The offset between two instruments or techniques, from lots measured by both, with its interval; nothing is corrected by it",
  request: {
    query: z.object({
      first: word.openapi({ example: "laser A" }),
      second: word.openapi({ example: "laser B" }),
      percentile: z
        .enum(["10", "50", "90"])
        .optional()
        .openapi({ description: "Which size; D50 where it is left out" }),
      material: word.optional().openapi({ description: "Lots of this material alone" }),
    }),
  },
  responses: {
    200: json(
      "The offset of the second from the first",
      z.object({
        first: z.string(),
        second: z.string(),
        percentile: z.number(),
        offset: z
          .object({
            percent: z.number(),
            low: z.number().nullable(),
            high: z.number().nullable(),
            lots: z.number(),
            level: z.number(),
          })
          .nullable(),
        lots: listOf(z.object({ lot: z.string(), firstUm: z.number(), secondUm: z.number() })),
        sentence: z.string(),
        instruments: listOf(z.string()).openapi({ description: "Those that the runs looked at name" }),
      }),
    ),
    ...refused(422),
  },
});
