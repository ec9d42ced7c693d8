import { z } from "@hono/zod-openapi";
import { bandFields } from "#api/records/band.ts";
import { curveFields, listOf } from "#api/records/fields.ts";
import { byName, estimate, humpVerdict, number, orNull, problems, text } from "./answerParts.ts";

export const compareAnswer = z.object({
  maxGapPoints: orNull,
  atUm: orNull,
  shiftPercent: orNull,
  meanShiftPercent: orNull,
  overlap: orNull,
  percentileRatios: byName(orNull),
  finesPoints: byName(orNull),
  sentence: text,
  problems,
});

export const stagesAnswer = z.object({
  steps: listOf(
    z.object({
      from: text,
      to: text,
      percentileRatios: byName(estimate),
      maxGapPoints: number,
      atUm: number,
      noisePoints: orNull,
      shiftPercent: number,
      meanShiftPercent: estimate,
      crosses: z.boolean(),
      fines: listOf(
        z.object({
          belowUm: number,
          points: estimate,
          grams: z.object({ before: number, after: number, change: estimate }).nullable(),
        }),
      ),
      areaM2PerG: z.object({ before: orNull, after: orNull, change: estimate }).nullable(),
      humps: z.object({
        before: humpVerdict.nullable(),
        after: humpVerdict.nullable(),
        change: z.enum(["gained", "lost", "same", "not known"]),
      }),
      joining: z
        .object({
          share: estimate,
          timesLarger: number,
          growthPercent: estimate,
          verdict: z.enum(["joining", "joining and growth", "growth", "neither", "too few runs"]),
        })
        .nullable(),
      sentence: text,
    }),
  ),
  gainLost: z.object({ share: estimate, signedShare: estimate }).nullable(),
  sentence: text,
  problems,
});

export const bandAnswer = z.object({ ...bandFields.shape, problems });

const estimatedRows = listOf(
  z.object({
    limit: text,
    sizeUm: number.exactOptional(),
    value: orNull,
    low: orNull,
    high: orNull,
    isIn: z.boolean().nullable(),
  }),
);
export const blendAnswer = z.object({
  shares: listOf(z.object({ name: text, share: number })),
  isIn: z.boolean().nullable(),
  chance: orNull,
  rows: estimatedRows,
  mix: curveFields.nullable(),
  mostOfFirst: orNull,
  noShare: listOf(z.object({ name: text, why: text })),
  sentence: text,
  problems,
});
export const scalpAnswer = z.object({
  kept: curveFields.nullable(),
  yieldShare: orNull,
  rows: estimatedRows,
  isIn: z.boolean().nullable(),
  sentence: text,
  problems,
});

export const parentsAnswer = z.object({
  kind: z.enum(["blend", "split", "made from"]),
  predictedUm: byName(orNull),
  percentileRatios: byName(estimate),
  meanShiftPercent: estimate.nullable(),
  maxGapPoints: orNull,
  atUm: orNull,
  agrees: z.boolean().nullable(),
  sentence: text,
  problems,
});

const lnRatios = listOf(orNull);
export const againstAnswer = z.object({
  reference: text,
  noise: z.object({ maxGapPoints: number, shiftPercent: number, leastOverlap: number, lnRatios }).nullable(),
  others: listOf(
    z.object({
      name: text,
      maxGapPoints: number,
      atUm: number,
      shiftPercent: number,
      meanShiftPercent: number,
      overlap: number,
      lnRatios,
      isWithinNoise: z.boolean().nullable(),
    }),
  ),
  percents: listOf(number),
  sentence: text,
  problems,
});
