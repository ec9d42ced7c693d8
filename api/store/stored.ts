import { z } from "zod";
import { type Measured, measured } from "#distributions/measured.ts";
import type { Trial } from "#model/mill/trials/trial.ts";

const quantity = z.enum(["number", "length", "surface", "volume"]);
const inClass = z.enum(["log-uniform", "uniform", "geometric-mid", "arithmetic-mid", "upper-edge"]);

export const curveSchema = z.object({
  quantity,
  measuredAs: quantity,
  inClass,
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
});

/** A distribution as kept, checked again on reading: a damaged row is a fault, never a number. */
export function readStoredCurve(text: string): Measured {
  return measured(curveSchema.parse(JSON.parse(text)));
}

export function readStoredTrial(text: string): Trial {
  return trialSchema.parse(JSON.parse(text));
}
