import { z } from "@hono/zod-openapi";
import { idField, stageField } from "./fields.ts";
import { kindOf } from "./kind.ts";

/** What the lab found beside the sizes. */
export const resultFields = z.object({
  lotId: idField,
  /** The stage it was found on; null when it is about the lot as a whole. */
  stage: stageField.nullable(),
  /** What was measured, such as BET area or tap density. */
  name: z.string(),
  value: z.number(),
  unit: z.string(),
  uncertainty: z
    .number()
    .nullable()
    .openapi({ description: "Standard uncertainty in the same unit; null when it is not known" }),
  note: z.string(),
  /** The day it was found, as 2026-11-30. */
  date: z.string().exactOptional(),
  /** How it was found, such as a standard or a number of points. */
  method: z.string().exactOptional(),
});

export const result = kindOf(resultFields, {
  list: "results",
  parent: "lotId",
  title: (b) => `${b.name} ${b.value} ${b.unit}`.trim(),
});
