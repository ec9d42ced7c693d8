import { z } from "@hono/zod-openapi";
import type { Parent } from "#model/lot/lineage.ts";
import { folded } from "#model/lot/processSteps.ts";
import { idField, listOf, stageField } from "./fields.ts";
import { kindOf } from "./kind.ts";

export const lotStates = [
  "open",
  "on hold",
  "released",
  "reworked into",
  "blended into",
  "scrapped",
] as const;

export const parentFields = z
  .object({
    lotId: idField,
    /** The stage of the parent at which powder was taken. */
    stage: stageField,
    share: z.number().openapi({ description: "Share of this lot, 0..1; the shares of all parents add to 1" }),
    massG: z.number().nullable(),
  } satisfies Record<keyof Parent, z.ZodType>)
  .openapi("ParentOfLot");

export const stateFields = z
  .object({
    name: z.enum(lotStates),
    by: z.string(),
    at: z.string(),
    why: z.string(),
    /** The lot it went into; null where it went into none. */
    lotId: idField.nullable(),
  })
  .openapi("StateOfLot");

export const lotFields = z.object({
  name: z.string(),
  /** The name of its material; empty where it has none. */
  material: z.string(),
  densityGPerCm3: z.number(),
  bandId: idField.nullable(),
  note: z.string(),
  keptAt: z.string(),
  /** A day as 2026-11-30; absent where it was not noted. */
  dateMade: z.string().exactOptional(),
  /** The lots its powder came from; absent where it came from none. */
  parents: listOf(parentFields).exactOptional(),
  /** Absent while nothing was said of it: it is open. */
  state: stateFields.exactOptional(),
  /** Why the lot teaches nothing; absent while it counts. */
  exclusionReason: z.string().exactOptional(),
});

export const lot = kindOf(lotFields, {
  list: "lots",
  part: (b) => folded(b.material),
  day: (b) => b.dateMade ?? b.keptAt,
  title: (b) => `lot "${b.name}"`,
  words: (b) => `${b.name}\n${b.material}\n${b.note}`.toLowerCase(),
});
