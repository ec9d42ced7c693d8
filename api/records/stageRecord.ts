import { z } from "@hono/zod-openapi";
import { stepKinds } from "#model/lot/processSteps.ts";
import { idField, listOf, stageField } from "./fields.ts";
import { kindOf } from "./kind.ts";

const mass = z.number().positive();
export const settingFields = z.object({
  name: z.string(),
  /** A number or a word, as noted. */
  value: z.string(),
  unit: z.string(),
});
/** How a stage of a lot was made: settings with their units, and a note. */
export const stageFields = z.object({
  lotId: idField,
  stage: stageField,
  settings: listOf(settingFields),
  note: z.string(),
  /** What was done, where the stage's own word does not say it. */
  kind: z.enum(stepKinds).exactOptional(),
  /** The day it was done, as 2026-11-30. */
  date: z.string().exactOptional(),
  massInG: mass.exactOptional(),
  massOutG: mass.exactOptional(),
  /** What was weighed in for it, as a recipe has it; absent where nothing was noted. */
  weighed: listOf(z.object({ name: z.string(), massG: mass })).exactOptional(),
});

export const stageRecord = kindOf(stageFields, {
  list: "stages",
  parent: "lotId",
  part: (b) => b.stage,
  title: (b) => `settings of ${b.stage}`,
});
