import { z } from "@hono/zod-openapi";
import type { Trial } from "#model/mill/trials/trial.ts";
import { curveField, idField, listOf, lotStageField, textOrNothing } from "./fields.ts";
import { kindOf } from "./kind.ts";
import { settingFields } from "./stageRecord.ts";

const positive = z.number().positive();
/** What was set and what came out, as a row of TRIALS.csv. */
export const settingOfTrial = z
  .object({
    speedRpm: positive,
    gasFlowM3PerH: positive.nullable(),
    feedKgPerH: positive.nullable(),
    d10Um: positive.nullable(),
    d50Um: positive,
    d90Um: positive.nullable(),
    productKgPerH: positive.nullable().optional(),
    holdUpKg: positive.nullable().optional(),
  } satisfies Record<keyof Trial, z.ZodType>)
  .openapi("Trial");

export const trialFields = z.object({
  millId: idField,
  name: z.string(),
  trial: settingOfTrial,
  /** The whole curve, where it was measured. */
  curve: curveField.nullable(),
  /** Why the trial is excluded; null while it counts. */
  exclusionReason: textOrNothing.default(null),
  /** The material that was milled; absent where neither it nor the feed was noted. */
  materialId: idField.exactOptional(),
  /** What was fed. */
  feed: lotStageField.exactOptional(),
  /** The stage it made of a lot; absent where its product is the curve above. */
  sample: lotStageField.exactOptional(),
  feedMassG: positive.exactOptional(),
  productMassG: positive.exactOptional(),
  /** What else was set or noted. */
  settings: listOf(settingFields).exactOptional(),
});

export const trial = kindOf(trialFields, {
  list: "trials",
  parent: "millId",
  curve: "curve",
  title: (b) => `trial "${b.name}"`,
});
