import { z } from "@hono/zod-openapi";
import { mergedMetadata } from "#distributions/measurementMetadata.ts";
import { readBand } from "./band.ts";
import { curveField, idField, listOf, metadataField, stageField, textOrNothing } from "./fields.ts";
import { kindOf } from "./kind.ts";
import { signatureFields } from "./signature.ts";
import { withoutUndefined } from "./withoutUndefined.ts";

const run = z
  .object({
    file: textOrNothing,
    name: z.string(),
    distribution: curveField,
    howMeasured: metadataField.exactOptional(),
    portion: z.string().exactOptional(),
  })
  // In the order in which it was written, which its hash rests on.
  .transform(({ portion, ...one }) => ({ ...mergedMetadata(one), ...withoutUndefined({ portion }) }));

/** An entry and the event that last touched it. */
const entryAsItWas = z.object({ id: z.number(), version: z.number() });

const checkAgainstStated = z.object({
  measurand: z.enum(["d10Um", "d50Um", "d90Um", "areaM2PerG"]),
  measured: z.number(),
  stated: z.number(),
  statedU: z.number().nullable(),
});

/** What an answer was computed from. */
const inputs = z.object({
  lotName: z.string(),
  stage: stageField,
  densityGPerCm3: z.number(),
  runs: listOf(run),
  band: z.unknown().transform((band) => (band === null ? null : readBand(band))),
  /** Whose lots taught it, as they were; absent in records of before. */
  ground: z
    .object({
      material: z.string(),
      sentence: z.string(),
      independent: z.number(),
      /** Oldest first, each with the runs that counted; in records of before without them. */
      lots: listOf(
        z.object({ id: z.number(), version: z.number(), runs: listOf(entryAsItWas).exactOptional() }),
      ),
    })
    .exactOptional(),
  /** Of the instruments that the runs name, against reference materials; absent in records of before. */
  checks: listOf(checkAgainstStated).exactOptional(),
});

/** An answer as it was given: never changed, and computed again only beside it. */
export const releaseFields = z.object({
  lotId: idField,
  name: z.string(),
  note: z.string(),
  releasedAt: z.string(),
  modelVersion: z.string(),
  inputs,
  /** The answers to describe and, with a band, to check, as JSON. */
  result: z.unknown(),
  /** SHA-256 of model version, inputs and result. */
  hash: z.string(),
  /** The printed report as it was that day, byte for byte, and its SHA-256; null where none was kept. */
  sheet: z.object({ html: z.string(), sha256: z.string() }).nullable().default(null),
  /** Of the lab that released it; absent in records of before. */
  signature: signatureFields.exactOptional(),
});

export const releaseRecord = kindOf(releaseFields, {
  list: "released",
  parent: "lotId",
  standsAlone: true,
  title: (b) => `release record "${b.name}"`,
});
