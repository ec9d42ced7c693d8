import { z } from "@hono/zod-openapi";
import { mergedMetadata } from "#distributions/measurementMetadata.ts";
import { curveField, idField, metadataField, stageField, textOrNothing } from "./fields.ts";
import { kindRead } from "./kind.ts";

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
});

export const measurement = kindRead(
  measurementFields,
  (value) => mergedMetadata(measurementFields.parse(value)),
  {
    list: "measurements",
    parent: "lotId",
    curve: "distribution",
    part: (b) => (b.exclusionReason === null ? b.stage : ""),
    title: (b) => `"${b.name}" (${b.stage})`,
  },
);
