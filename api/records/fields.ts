import { z } from "@hono/zod-openapi";
import type { MeasurementMetadata } from "#distributions/measurementMetadata.ts";
import { inClassRules, quantities, sizeDistribution } from "#distributions/sizeDistribution.ts";
import { stages } from "#model/lot/stages.ts";

/** A list that whoever reads it leaves as it is. */
export const listOf = <S extends z.ZodType>(
  schema: S,
): z.ZodType<readonly z.output<S>[], readonly z.input<S>[]> => z.array(schema);

/** The number of another entry. A field named lotId refers to a lot, and so on: copies are checked by it. */
export const idField = z.number().int();
/** A stage as it is written down. */
export const stageField = z.string();
/** A stage as a person gives it: the lot's material says what is meant. */
export const stageWord = z
  .string()
  .trim()
  .min(1)
  .max(100)
  .openapi({
    description: `One of ${stages.join(", ")}, or the name of a step of the lot's material`,
    example: "milled",
  });
/** A name as a person gives it. */
export const nameGiven = z.string().trim().min(1).max(200);
export const noteGiven = z.string().max(5000).default("");
/** A day as a person gives it. */
export const dayGiven = z.iso.date().openapi({ example: "2026-11-30" });
/** Why something is excluded, as a person gives it; null includes it again. */
export const reasonGiven = (longest: number) =>
  z
    .string()
    .trim()
    .min(1)
    .max(longest)
    .nullable()
    .default(null)
    .openapi({ description: "Why it is excluded; null while it counts" });
/** An empty text is nothing: a table cannot tell them apart. */
export const textOrNothing = z
  .string()
  .nullable()
  .transform((text) => (text === "" ? null : text));

/** A stage of a lot, as what was fed to a mill or came out of it. */
export const lotStageField = z.object({ lotId: idField, stage: stageField });

const numbers = listOf(z.number());
/** Classes and shares as they stand in JSON. */
export const curveFields = z
  .object({
    quantity: z.enum(quantities),
    measuredAs: z.enum(quantities),
    inClass: z.enum(inClassRules),
    lowerUm: numbers,
    upperUm: numbers,
    shares: numbers,
    belowShare: z.number(),
    aboveShare: z.number(),
  })
  .openapi("SizeDistribution");
/** The same, held to what a distribution must be. */
export const curveField = curveFields.transform(sizeDistribution);

const metadataOf = <T extends z.ZodType, N extends z.ZodType>(text: T, number: N) =>
  z.object({
    technique: text,
    opticalModel: text,
    refractiveIndex: number,
    absorptionIndex: number,
    dispersant: text,
    ultrasoundPowerW: number,
    ultrasoundTimeS: number,
    obscurationPercent: number,
    date: text,
    operator: text,
    instrument: text,
    referenceDrum: text,
  } satisfies Record<keyof MeasurementMetadata, z.ZodType>);
/** What is told of how a measurement was made; null and an absent field say nothing. */
export const metadataField = metadataOf(z.string().max(400).nullish(), z.number().nullish());
/** The same as it is answered: what is absent is not stated. */
export const metadataAnswer = metadataOf(z.string().exactOptional(), z.number().exactOptional()).openapi(
  "MeasurementMetadata",
);
