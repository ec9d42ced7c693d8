import { z } from "@hono/zod-openapi";
import { idField, stageField } from "./fields.ts";
import { kindOf } from "./kind.ts";

const numberOrNull = z.number().nullable();
/** A batch that started from a stage of a lot: what was found after a time, and what is assumed. */
export const batchFields = z.object({
  lotId: idField,
  stage: stageField,
  afterMin: numberOrNull,
  d50AfterUm: numberOrNull,
  targetD50Um: numberOrNull,
  rateExponent: z.number(),
  fragmentExponent: z.number(),
});

export const batch = kindOf(batchFields, {
  list: "batches",
  parent: "lotId",
  part: (b) => b.stage,
  title: (b) => `batch from ${b.stage}`,
});
