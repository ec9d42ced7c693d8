import { z } from "@hono/zod-openapi";
import { idField, listOf, stageField } from "./fields.ts";
import { kindOf } from "./kind.ts";

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
});

export const stageRecord = kindOf(stageFields, {
  list: "stages",
  parent: "lotId",
  part: (b) => b.stage,
  title: (b) => `settings of ${b.stage}`,
});
