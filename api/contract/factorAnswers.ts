import { z } from "@hono/zod-openapi";
import { listOf } from "#api/records/fields.ts";
import { interval } from "./answerParts.ts";
import { problemSchema } from "./shapes.ts";

const number = z.number();
const text = z.string();
const orNull = number.nullable();
const problems = listOf(problemSchema);
const within = z.object({ value: number, low: number, high: number });

export const factorsAnswer = z.object({
  effects: listOf(
    z.object({
      of: text,
      factor: text,
      per: text,
      lots: number,
      verdict: z.enum(["goes with it", "not separated", "not shown", "does not vary", "too few lots"]),
      slope: orNull,
      interval: interval.nullable(),
      pValue: orNull,
      rivals: listOf(text),
      smallest: z.object({ overRange: number, moreLotsForHalf: orNull }).nullable(),
      sentence: text,
    }),
  ),
  charts: listOf(
    z.object({
      name: text,
      unit: text,
      lots: listOf(text),
      values: listOf(number),
      chart: z
        .object({
          middle: number,
          low: number,
          high: number,
          means: listOf(within),
          alarms: listOf(
            z.object({
              at: number,
              by: z.enum(["mean", "single value"]),
              side: z.enum(["high", "low"]),
            }),
          ),
          farOut: listOf(z.object({ at: number, side: z.enum(["high", "low"]) })),
          falseAlarms: number,
          falseAlarmsWhereSerial: number,
          farOutOf: z.object({ normal: number, heavyTailed: number }),
          stepSeen: number,
          serialCorrelation: number,
          isCorrelated: z.boolean(),
        })
        .nullable(),
      sentence: text,
    }),
  ),
  sentence: text,
  problems,
});

const proposedLot = z
  .object({
    settings: listOf(z.object({ factor: text, value: number, unit: text })),
    gain: number,
    isExtrapolation: z.boolean(),
    sentence: text,
  })
  .nullable();

export const nextTrialAnswer = z.object({
  lots: number,
  splitting: proposedLot,
  likeliest: proposedLot,
  cautions: listOf(text),
  sentence: text,
  problems,
});

const chainedSize = z.object({ name: text, median: number, low: number, high: number });

export const chainAnswer = z.object({
  level: number,
  steps: listOf(
    z.object({
      stage: text,
      lots: number,
      settings: listOf(
        z.object({
          name: text,
          unit: text,
          value: number,
          reach: z.enum(["tried", "outside", "far outside"]),
        }),
      ),
      sizes: listOf(chainedSize),
      doubt: z.object({ share: number, fromFewLots: number }),
    }),
  ),
  chance: orNull,
  chances: listOf(z.object({ name: text, chance: number })),
  sentence: text,
  problems,
});
