import { z } from "@hono/zod-openapi";
import { bandFields } from "#api/records/band.ts";
import { curveFields, listOf } from "#api/records/fields.ts";
import { familyNames } from "#distributions/families/family.ts";
import { inClassRules, quantities } from "#distributions/sizeDistribution.ts";
import { layoutOptions } from "#distributions/tables/text/readingOptions.ts";
import { decisionRules } from "#model/band/band.ts";
import { outcomesSchema, problemSchema } from "./shapes.ts";

const number = z.number();
const text = z.string();
const orNull = number.nullable();
const problems = listOf(problemSchema);

export const verdict = z.enum(["in band", "on the edge", "out of band", "too few runs"]);
export const interval = z.object({ low: number, high: number, level: number }).openapi("Interval");
/** A middle with its interval, at a level. */
export const medianWithin = { median: number, low: orNull, high: orNull, level: number };
const overRuns = z
  .object({
    value: orNull,
    low: orNull,
    high: orNull,
    level: number,
    runs: number,
    basis: z.enum(["runs", "pooled lots"]).nullable(),
  })
  .openapi("OverRuns", { description: "A quantity of a lot, from its runs, with its interval" });
const estimate = z.object({ value: orNull, interval: interval.nullable() }).openapi("Estimate");
const byName = <S extends z.ZodType>(schema: S) => z.record(z.string(), schema);
const meansOf = <S extends z.ZodType>(schema: S) => z.object({ "4,3": schema, "3,2": schema, "1,0": schema });
const source = { file: text.nullable(), name: text };
const limitAtSize = z.object({ limit: text, sizeUm: number.exactOptional() });

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
  problems,
});

const fitted = {
  ...source,
  quantity: z.enum(quantities),
  standardErrors: byName(orNull),
  standardErrorBasis: z.literal("curvature"),
  status: z.enum(["converged", "stalled", "iteration limit", "at bound"]),
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
const humpVerdict = z.enum(["one hump", "possible second hump", "second hump"]);

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

const conformance = z.object({ rows: listOf(number), all: number, isAtLeast: z.boolean() });
const release = z.object({
  of: z.enum(["portion measured", "lot"]),
  degrees: number,
  fromRuns: conformance,
  asProcess: conformance.nullable(),
  whyNoProcess: z
    .discriminatedUnion("why", [
      z.object({ why: z.literal("few lots"), lots: number, needed: number }),
      z.object({ why: z.literal("few degrees") }),
      z.object({ why: z.literal("contradicted"), by: z.enum(["this lot", "the last four lots"]) }),
    ])
    .nullable(),
  risks: listOf(
    z.object({
      rule: z.enum(decisionRules),
      conforming: number,
      released: number,
      releasedThoughOut: number,
      heldThoughGood: number,
      undecided: number,
    }),
  ).nullable(),
  guardedAtMost: number,
  judged: listOf(text),
  leftOut: listOf(text),
  keptLots: number,
  sentence: text,
  notes: listOf(text),
});

const budget = z.object({
  measurand: z.enum(["d10Um", "d50Um", "d90Um", "areaM2PerG"]),
  value: number,
  low: number,
  high: number,
  uLn: number,
  degrees: orNull,
  coverageFactor: number,
  expandedLn: number,
  level: number,
  contributions: listOf(z.object({ source: text, uLn: number, degrees: orNull, share: number })),
  notKnown: listOf(text),
});

export const checkAnswer = z.object({
  verdict: verdict.nullable().openapi({ description: "null where nothing could be judged" }),
  gap: text.nullable().openapi({ description: "Why the verdict is not final; null where it is" }),
  rule: z.enum(decisionRules).nullable(),
  runs: number,
  rows: listOf(
    limitAtSize.extend({
      value: orNull,
      low: orNull,
      high: orNull,
      interval: interval.nullable(),
      verdict,
      probability: orNull,
    }),
  ),
  outside: listOf(z.object({ fromUm: number, toUm: number, points: number, verdict })),
  origin: listOf(text).exactOptional(),
  lumps: z
    .object({ aboveUm: number, share: number, peakUm: number })
    .exactOptional()
    .openapi({ description: "Powder apart from the main powder and coarser; absent where there is none" }),
  release: release.nullable().openapi({
    description:
      "How likely the lot conforms, by two named figures; null where nothing is known of how runs scatter, or the runs are of another stage than the band",
  }),
  budget: z
    .object({ budgets: listOf(budget), sentence: text })
    .nullable()
    .openapi({ description: "Uncertainty budgets of D10, D50, D90 and area; null where nothing is known" }),
  sizeShiftNeeded: z
    .object({
      chanceNow: orNull,
      sizeChangePercent: number,
      chanceThen: orNull,
      fromPercent: orNull,
      toPercent: orNull,
      leastNow: z.object({ row: limitAtSize, chance: number }).nullable(),
      inTheWay: listOf(limitAtSize),
      isAnySize: z.boolean(),
      sentence: text,
    })
    .nullable(),
  sentence: text,
  problems,
});

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

const bySize = listOf(z.object({ fromUm: number, toUm: number, share: number }));
export const surfaceAnswer = z.object({
  measurements: listOf(
    z.object({
      ...source,
      geometricM2PerG: orNull,
      isLowerBound: z.boolean(),
      betM2PerG: z.object(medianWithin).nullable(),
      pairs: number,
      bySize,
    }),
  ),
  overRuns,
  bySize,
  ahead: z
    .object({
      basis: z.enum(["guess", "few pairs", "pairs"]),
      form: z.enum(["ratio", "offset and ratio"]),
      pairs: number,
      stale: z.object({ pairs: number, differing: listOf(text) }),
      errors: z.object({ ratio: number, offset: number }).nullable(),
      isLowerBound: z.boolean(),
      ...medianWithin,
      chanceWithin: orNull,
      cameBack: z
        .object({
          betM2PerG: number,
          z: orNull,
          isUnexpected: z.boolean().nullable(),
          reasons: listOf(text),
        })
        .nullable(),
      amongPairs: z
        .object({
          place: z.enum(["within", "beyond", "outside"]),
          factor: number,
          nearest: z.object({ geometricM2PerG: number, betM2PerG: number }).nullable(),
        })
        .nullable()
        .openapi({
          description: "Where the powder's area lies among those of the pairs; null without a pair",
        }),
    })
    .nullable()
    .openapi({ description: "The BET area to expect; null without an area of the runs" }),
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
