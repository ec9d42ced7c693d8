import { z } from "@hono/zod-openapi";
import { listOf } from "#api/records/fields.ts";
import { interval, medianWithin } from "./answerParts.ts";
import { problemSchema } from "./shapes.ts";

const number = z.number();
const text = z.string();
const orNull = number.nullable();
const problems = listOf(problemSchema);

const sizeInterval = z
  .object({ median: number, low: number, high: number, level: number })
  .openapi("SizeInterval");
const sizes = { d10Um: sizeInterval.nullable(), d50Um: sizeInterval, d90Um: sizeInterval.nullable() };
const growth = z.object({ d10: number, d50: number, d90: number });
const range = z.object({ least: number, most: number });
const refusalOf = <const W extends readonly string[]>(what: W) =>
  listOf(z.object({ what: z.enum(what), reason: text, remedy: text }));

const costRange = z.object({ median: number, low: orNull, high: orNull }).nullable();

export const wheelAnswer = z.object({
  cutUm: orNull,
  stokesCutUm: orNull,
  tipSpeedMPerS: orNull,
  d50Um: sizeInterval.nullable(),
  d10Um: sizeInterval.nullable(),
  d90Um: sizeInterval.nullable(),
  refired: z
    .object({
      ...sizes,
      lots: number,
      growth,
      growthRange: z.object({ least: growth, most: growth }),
      odd: z.object({ lot: text, percent: number, growth: number, others: range }).nullable(),
      hasSpread: z.boolean(),
    })
    .nullable(),
  speedRpm: z.object({ ...medianWithin, reachProbability: number }).nullable(),
  inBand: z
    .object({
      probability: orNull,
      bestSpeedRpm: orNull,
      bestFlowM3PerH: orNull,
      bestProbability: orNull,
      counted: listOf(text),
      withoutOutlier: z.object({ lot: text, probability: number }).nullable(),
      leastLikely: z.object({ name: text, probability: number }).nullable(),
    })
    .nullable(),
  targetBeforeRefiring: listOf(z.object({ limit: text, low: orNull, high: orNull })),
  basis: z.enum(["trials", "prior"]).nullable(),
  warnings: listOf(text),
  refused: refusalOf(["d50Um", "speedRpm"]),
  words: z
    .object({ short: text, rests: text, product: text, target: text, refused: text, physics: text })
    .nullable(),
  sentence: text,
  /** Null without a speed. */
  cost: z
    .object({
      yield: costRange,
      productKgPerH: costRange,
      lostKgPerH: costRange,
      gasM3PerKg: costRange,
      energyKWhPerKg: costRange,
      finesShare: costRange,
      pricePerKg: costRange,
      currency: text.nullable(),
      level: number,
      sentence: text,
    })
    .nullable(),
  problems,
});

export const pressureAnswer = z.object({
  d50Um: sizeInterval.nullable(),
  pressureBar: z.object({ ...medianWithin, reachProbability: number }).nullable(),
  refused: refusalOf(["d50Um", "pressureBar"]),
  warnings: listOf(text),
  sentence: text,
  problems,
});

export const circuitAnswer = z.object({
  percentilesUm: z.record(z.string(), orNull).nullable(),
  edgesUm: listOf(number).nullable(),
  shares: listOf(number).nullable(),
  meanResidenceS: orNull,
  recycle: orNull,
  load: orNull,
  stuckAtUm: orNull,
  sentence: text,
  problems,
});

export const historyAnswer = z.object({
  charts: listOf(
    z.object({
      name: text,
      lots: listOf(text),
      unit: text,
      chart: z
        .object({
          values: listOf(number),
          middle: number,
          low: number,
          high: number,
          sigma: number,
          hits: listOf(
            z.object({
              rule: z.enum([
                "beyond a limit",
                "two of three near a limit",
                "four of five on one side",
                "eight on one side",
              ]),
              at: number,
              side: z.enum(["high", "low"]),
            }),
          ),
        })
        .nullable(),
      target: z.object({ low: orNull, high: orNull }).nullable(),
      sentence: text,
    }),
  ),
  effects: listOf(
    z.object({
      of: text,
      factor: text,
      per: text,
      lots: number,
      line: z
        .object({
          points: number,
          slope: number,
          intercept: number,
          slopeError: number,
          interceptError: number,
          slopeInterval: interval,
          residualSd: number,
          meanX: number,
          spreadX: number,
        })
        .nullable(),
      verdict: z.enum(["rises", "falls", "no effect told", "too few lots"]),
      sentence: text,
    }),
  ),
  sentence: text,
  problems,
});

/** Sizes, settings and results of lots in the order they were made, a column each. */
export const lotHistoryAnswer = z.object({
  lots: listOf(text),
  columns: listOf(z.object({ name: text, unit: text.exactOptional(), values: listOf(orNull) })),
  sizes: listOf(text),
  settings: listOf(text),
  results: listOf(text),
  grounds: listOf(text),
  ids: listOf(number),
  fields: listOf(z.object({ column: text, stage: text.nullable(), name: text, unit: text })),
});
