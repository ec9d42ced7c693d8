import { z } from "@hono/zod-openapi";
import { mergedMetadata } from "#distributions/measurementMetadata.ts";
import { curveMark } from "#model/intake/curveMark.ts";
import { curveField, idField, metadataField, stageField, textOrNothing } from "./fields.ts";
import { kindRead } from "./kind.ts";

/** How a portion was drawn and divided, and on which day. Source of the terms: ISO 14488. */
export const portionFields = z
  .object({
    /** What tells it from the others of its stage. */
    name: z.string(),
    /** How it was drawn from the lot, as with a spear from five places. */
    drawn: z.string(),
    massG: z.number().positive().nullable(),
    day: z.string().nullable(),
    /** How it was divided to what was measured, as with a spinning riffler; absent where nothing was noted. */
    divided: z.string().exactOptional(),
    /** How many increments were drawn for it. */
    increments: z.number().int().positive().exactOptional(),
  })
  .openapi("Portion");

export const measurementFields = z.object({
  lotId: idField,
  importId: idField,
  stage: stageField,
  name: z.string(),
  file: textOrNothing,
  distribution: curveField,
  /** Why the run is excluded; null while it counts. */
  exclusionReason: textOrNothing,
  /** Absent where nothing is stated. */
  howMeasured: metadataField.exactOptional(),
  /** The portion of the lot it was measured on; runs of one stage without a word of it are of one portion. */
  portion: portionFields.exactOptional(),
});

export const measurement = kindRead(
  measurementFields,
  (value) => mergedMetadata(measurementFields.parse(value)),
  {
    list: "measurements",
    parent: "lotId",
    curve: "distribution",
    part: (b) => (b.exclusionReason === null ? b.stage : ""),
    // The same curve brought in again is found by it.
    day: (b) => curveMark(b.distribution),
    title: (b) => `"${b.name}" (${b.stage})`,
  },
);
