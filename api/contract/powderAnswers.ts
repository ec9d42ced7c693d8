import { z } from "@hono/zod-openapi";
import { listOf } from "#api/records/fields.ts";
import { familyNames } from "#distributions/families/family.ts";
import { inClassRules, quantities } from "#distributions/sizeDistribution.ts";
import { layoutOptions } from "#distributions/tables/text/readingOptions.ts";
import {
  byName,
  humpVerdict,
  meansOf,
  number,
  orNull,
  overRuns,
  problems,
  source,
  text,
} from "./answerParts.ts";
import { outcomesSchema } from "./shapes.ts";

const place = z.object({ row: orNull, column: orNull });
/** How one table was read; there where `explain` is asked for. */
const tableReadingSchema = z.object({
  file: text.nullable(),
  sheet: text.exactOptional(),
  layout: z.enum(layoutOptions),
  firstRow: orNull,
  lastRow: orNull,
  lists: listOf(
    z.object({ place, heading: text, role: text, kind: z.enum(["sizes", "measurement", "left out"]) }),
  ),
  decided: listOf(
    z.object({ option: text, value: text, source: z.enum(["option", "table", "assumed"]), evidence: text }),
  ),
});

/** One way in which a whole table can be read; there where `explain` is asked for. */
const candidateSchema = z.object({
  file: text.nullable(),
  answers: listOf(z.object({ option: text, value: text })),
  measurements: listOf(
    z.object({ name: text, quantity: z.enum(quantities), d10Um: orNull, d50Um: orNull, d90Um: orNull }),
  ),
  speaksFor: listOf(text),
  speaksAgainst: listOf(text),
});

export const describeAnswer = z.object({
  measurements: listOf(
    z.object({
      ...source,
      quantity: z.enum(quantities),
      inClass: z.enum(inClassRules),
      lowerUm: listOf(number),
      upperUm: listOf(number),
      shares: listOf(number),
      belowShare: number,
      aboveShare: number,
      percentilesUm: byName(orNull),
      meansUm: meansOf(orNull),
      arithmeticMeanUm: orNull,
      geometricMeanUm: orNull,
      standardDeviationUm: orNull,
      span: orNull,
      surfaceM2PerG: orNull,
      surfaceIsLowerBound: z.boolean(),
      numberInFinestTwo: number.exactOptional(),
    }),
  ),
  lots: listOf(
    z.object({
      file: text.nullable(),
      runs: listOf(text),
      percentilesUm: byName(overRuns),
      meansUm: meansOf(overRuns),
      arithmeticMeanUm: overRuns,
      geometricMeanUm: overRuns,
      standardDeviationUm: overRuns,
      span: overRuns,
      surfaceM2PerG: overRuns,
    }),
  ),
  outcomes: outcomesSchema,
  tables: listOf(tableReadingSchema).exactOptional(),
  candidates: listOf(candidateSchema).exactOptional(),
  problems,
});

const fitted = {
  ...source,
  quantity: z.enum(quantities),
  standardErrors: byName(orNull),
  standardErrorBasis: z.literal("curvature"),
  status: z.enum(["converged", "several floors", "stalled", "iteration limit", "at bound"]),
  rmsPoints: number,
  maxGapPoints: number,
  aicc: orNull,
  edges: number,
  residuals: listOf(z.object({ sizeUm: number, points: number })),
  warnings: listOf(text),
  derived: z.object({
    quantity: z.enum(quantities),
    percentilesUm: byName(orNull),
    meansUm: meansOf(orNull),
    surfaceM2PerG: orNull,
    refused: listOf(text),
  }),
};
const fitOf = <Name extends (typeof familyNames)[number], S extends z.ZodType>(family: Name, parameters: S) =>
  z.object({ family: z.literal(family), parameters, ...fitted });
const fits = listOf(
  z.discriminatedUnion("family", [
    fitOf("log-normal", z.object({ medianUm: number, gsd: number })),
    fitOf("rosin-rammler", z.object({ characteristicUm: number, spreadExponent: number })),
    fitOf("gates-gaudin-schuhmann", z.object({ topUm: number, exponent: number })),
    fitOf("upper-limit-log-normal", z.object({ topUm: number, transformedMedian: number, logSd: number })),
    fitOf("log-logistic", z.object({ medianUm: number, exponent: number })),
    fitOf(
      "mixture",
      z.object({ components: listOf(z.object({ weight: number, medianUm: number, gsd: number })) }),
    ),
  ]),
);
export const fitAnswer = z.object({
  fits,
  ranking: listOf(
    z.object({
      family: z.enum(familyNames),
      parameters: number,
      rmsPoints: number,
      aicc: orNull,
      isToldApart: z.boolean(),
    }),
  ),
  overRuns: listOf(z.object({ family: z.enum(familyNames), parameters: byName(overRuns) })),
  humps: z.object({ verdict: humpVerdict, atUm: listOf(number), smallerShare: orNull }).nullable(),
  shoulder: z
    .object({ side: z.enum(["fine", "coarse"]), atUm: number })
    .nullable()
    .openapi({ description: "A second part or a long tail without a hump of its own" }),
  lumps: z
    .object({ aboveUm: number, share: number, peakUm: number })
    .nullable()
    .openapi({ description: "Powder apart from the main powder and coarser" }),
  sentence: text,
  problems,
});

export const runsAnswer = z.object({
  lots: listOf(
    z.object({
      file: text.nullable(),
      runs: listOf(text),
      scatter: listOf(
        z.object({
          percent: number,
          meanUm: orNull,
          cvPercent: orNull,
          allowedPercent: number,
          isWithin: z.boolean().nullable(),
          trend: z.enum(["falling", "rising", "steady"]),
        }),
      ),
      odd: z.object({ name: text, gapPoints: number, atUm: number, othersPoints: number }).nullable(),
      identical: listOf(listOf(text)),
      meansOfOthers: listOf(text),
      sentence: text,
    }),
  ),
  pooled: byName(z.object({ sdLn: number, degrees: number }).nullable()),
  limits: z.object({
    d10Percent: number,
    d50Percent: number,
    d90Percent: number,
    doubledBelowUm: orNull,
    source: text,
  }),
  sentence: text,
  problems,
});

const fraction = <S extends z.ZodType>(schema: S) =>
  z.object({ inhalable: schema, thoracic: schema, respirable: schema });
export const finesAnswer = z.object({
  measurements: listOf(
    z.object({ ...source, shares: fraction(z.object({ low: number, high: number })).nullable() }),
  ),
  overRuns: fraction(overRuns),
  densityGPerCm3: number,
  shapeFactor: number,
  sentence: text,
  caution: text,
  problems,
});
