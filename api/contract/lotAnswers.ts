import { z } from "@hono/zod-openapi";
import { listOf, stageField } from "#api/records/fields.ts";
import { decisionRules } from "#model/band/band.ts";
import {
  limitAtSize,
  limitCheck,
  medianWithin,
  number,
  orNull,
  overRuns,
  problems,
  source,
  text,
  verdict,
} from "./answerParts.ts";

const conformance = z.object({ rows: listOf(number), all: number, isAtLeast: z.boolean() });
const release = z.object({
  of: z.enum(["portion measured", "lot"]),
  degrees: number,
  scatterLots: number,
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
      releasedShare: number,
      /** On the wire `frozen`, the same number, from before it had a word of its own. */
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
  rows: listOf(limitCheck),
  outside: listOf(
    z.object({
      fromUm: number,
      toUm: number,
      points: number,
      verdict,
      cutAt: listOf(z.enum(["from", "to"])).exactOptional(),
    }),
  ),
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

/** The same of a saved lot: which, at which stage, by which band, and what it rests on. */
export const savedCheckAnswer = checkAnswer.extend({
  lot: text,
  stage: stageField,
  material: text,
  band: text,
  ground: text.openapi({ description: "The lots that the chance rests on beside its own runs" }),
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
