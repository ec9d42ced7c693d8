import { z } from "@hono/zod-openapi";
import { type PressureTrial, pressurePriors } from "#model/mill/pressure/pressureRegression.ts";
import { listOf, nameGiven } from "./fields.ts";
import { kindOf, overHttp } from "./kind.ts";
import { normalPrior } from "./priors.ts";

export const pressureTrialFields = z
  .object({
    pressureBar: z.number().positive(),
    feedKgPerH: z.number().positive().nullable(),
    d50Um: z.number().positive(),
  } satisfies Record<keyof PressureTrial, z.ZodType>)
  .openapi("PressureTrial");

/** A jet mill without a wheel, and its trials. */
export const pressureMillFields = z.object({
  name: z.string(),
  ratedBar: z.number().nullable().openapi({
    description: "Gauge, of vessel and hoses; null where it is not known: no pressure is suggested",
  }),
  trials: listOf(pressureTrialFields),
  priors: z.object({ pressure: normalPrior, feed: normalPrior }).default(pressurePriors),
});

const kind = kindOf(pressureMillFields, {
  list: "pressureMills",
  title: (b) => `mill without a wheel "${b.name}"`,
});

export const pressureMill = overHttp(kind, {
  path: "/api/pressure-mills",
  body: pressureMillFields.extend({
    name: nameGiven,
    ratedBar: z.number().positive().nullable().default(null),
    trials: z.array(pressureTrialFields).max(1000),
  }),
  example: { name: "Pancake mill", ratedBar: 9, trials: [{ pressureBar: 5, feedKgPerH: 8, d50Um: 5 }] },
  called: "PressureMill",
  listSummary: "All mills without a wheel",
  keepSummary: "Keep a mill without a wheel, with its trials",
  made: "kept",
});
