import { z } from "zod";
import { inClassRules, quantities } from "#distributions/measured.ts";
import {
  edgeOptions,
  layoutOptions,
  scaleOptions,
  unitOptions,
  valuesOptions,
} from "#distributions/tables/readingOptions.ts";

export const curveSchema = z.object({
  quantity: z.enum(quantities),
  measuredAs: z.enum(quantities),
  inClass: z.enum(inClassRules),
  lowerUm: z.array(z.number()),
  upperUm: z.array(z.number()),
  shares: z.array(z.number()),
  belowShare: z.number(),
  aboveShare: z.number(),
});

export const trialSchema = z.object({
  speedRpm: z.number().positive(),
  gasFlowM3PerH: z.number().positive().nullable(),
  feedKgPerH: z.number().positive().nullable(),
  d10Um: z.number().positive().nullable(),
  d50Um: z.number().positive(),
  d90Um: z.number().positive().nullable(),
  productKgPerH: z.number().positive().nullable().optional(),
  holdUpKg: z.number().positive().nullable().optional(),
});

/** The answers a table was read with. */
export const optionsKeptSchema = z.object({
  edge: z.enum(edgeOptions).optional(),
  values: z.enum(valuesOptions).optional(),
  scale: z.enum(scaleOptions).optional(),
  quantity: z.enum(quantities).optional(),
  unit: z.enum(unitOptions).optional(),
  layout: z.enum(layoutOptions).optional(),
  inClass: z.enum(inClassRules).optional(),
  firstEdgeUm: z.number().optional(),
  only: z.array(z.string()).optional(),
});
