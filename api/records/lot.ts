import { z } from "@hono/zod-openapi";
import { idField } from "./fields.ts";
import { kindOf } from "./kind.ts";

export const lotFields = z.object({
  name: z.string(),
  material: z.string(),
  densityGPerCm3: z.number(),
  bandId: idField.nullable(),
  note: z.string(),
  keptAt: z.string(),
});

export const lot = kindOf(lotFields, {
  list: "lots",
  title: (b) => `lot "${b.name}"`,
  words: (b) => `${b.name}\n${b.material}\n${b.note}`.toLowerCase(),
});
