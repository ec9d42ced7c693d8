import { z } from "@hono/zod-openapi";
import { folded, type ProcessStep, stepKinds } from "#model/lot/processSteps.ts";
import { idField, listOf } from "./fields.ts";
import { kindOf } from "./kind.ts";

export const stepFields = z
  .object({
    id: z.string(),
    name: z.string(),
    kind: z.enum(stepKinds),
  } satisfies Record<keyof ProcessStep, z.ZodType>)
  .openapi("ProcessStep");

/**
 * A powder the lab makes: what is learned from lots is learned of their material. A lot names its material, and no two
 * materials have the same name, case and blanks aside; so lots kept before there were materials read as they did.
 */
export const materialFields = z.object({
  name: z.string(),
  /** Of the solid; a lot may have its own. */
  densityGPerCm3: z.number(),
  /** What its lots go through, in order. */
  steps: listOf(stepFields),
  /** The band that lots are held against at a stage, unless they name their own. */
  bands: listOf(z.object({ stage: z.string(), bandId: idField })),
  note: z.string(),
});

export const material = kindOf(materialFields, {
  list: "materials",
  part: (b) => folded(b.name),
  title: (b) => `material "${b.name}"`,
  words: (b) => `${b.name}\n${b.note}`.toLowerCase(),
});
