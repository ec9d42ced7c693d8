import { z } from "@hono/zod-openapi";
import { listOf, stageField } from "#api/records/fields.ts";
import { limitCheck, verdict } from "./answerParts.ts";

const quantity = z
  .object({ value: z.number(), low: z.number().nullable(), high: z.number().nullable() })
  .nullable();

/** How the lot stands as a line among others, of the stage its line shows. */
const standing = z
  .object({
    verdict: verdict.nullable().openapi({
      description: "Null where the band is for another stage, or there is none",
    }),
    reason: z.string().openapi({ description: "In few words; empty for a lot that is in band" }),
    isPredicted: z
      .boolean()
      .openapi({ description: "Whether the rows are predicted from the milled powder" }),
    rows: listOf(limitCheck),
    measuredOn: z.string().nullable().openapi({ description: "The latest day its runs name" }),
  })
  .openapi("LotStanding");

/** What was computed of a stage of a lot, and what it rests on. */
export const summaryFields = z
  .object({
    stage: stageField,
    runs: z.number(),
    verdict: verdict.nullable().openapi({
      description: "Null where no band applies or no run can be judged",
    }),
    isFinal: z.boolean().openapi({ description: "Whether the band is for powder of this stage" }),
    sentence: z.string(),
    chance: z
      .object({ value: z.number(), isAtLeast: z.boolean() })
      .nullable()
      .openapi({ description: "How likely the lot conforms, from its runs" }),
    d10Um: quantity,
    d50Um: quantity,
    d90Um: quantity,
    areaM2PerG: quantity.openapi({ description: "The geometric area over the runs" }),
    betM2PerG: z
      .object({
        value: z.number(),
        low: z.number().nullable(),
        high: z.number().nullable(),
        is: z.enum(["measured", "predicted"]),
      })
      .nullable()
      .openapi({ description: "The latest measured BET area, else the predicted one" }),
    standing: standing
      .exactOptional()
      .openapi({ description: "Of the stage that the list shows; in a list only where it is asked for" }),
    basis: z
      .object({
        runs: z.string().openapi({ description: "Checksum of the runs' numbers and versions" }),
        band: z.object({ id: z.number(), version: z.number() }).nullable(),
        ground: z.object({
          sentence: z.string(),
          lots: z.number(),
          checksum: z
            .string()
            .openapi({ description: "Of the numbers and versions of its lots and their runs" }),
        }),
        modelVersion: z.string(),
        event: z.number().openapi({ description: "The last event that it knows of" }),
      })
      .openapi({ description: "What it was computed from: the same basis gives the same summary" }),
    stale: z.boolean().openapi({
      description: "Whether something it rests on has changed since; it is computed anew in the background",
    }),
  })
  .openapi("StageSummary");

export type StageSummary = z.output<typeof summaryFields>;
/** As it is kept: whether it is old is asked anew each time. */
export const keptSummary = summaryFields.omit({ stale: true });
export type KeptSummary = z.output<typeof keptSummary>;
