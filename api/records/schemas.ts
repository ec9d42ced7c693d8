import { z } from "zod";
import { inClassRules, quantities } from "#distributions/sizeDistribution.ts";
import {
  edgeOptions,
  layoutOptions,
  scaleOptions,
  unitOptions,
  valuesOptions,
} from "#distributions/tables/text/readingOptions.ts";
import { usualPriors } from "#model/mill/trials/priors.ts";
import type { BetPair } from "#model/surface/bet.ts";
import { withoutUndefined } from "./withoutUndefined.ts";

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

/** What is told of how a measurement was made; null and an absent field say nothing. */
export const metadataSchema = z.object({
  technique: z.string().max(400).nullish(),
  opticalModel: z.string().max(400).nullish(),
  refractiveIndex: z.number().nullish(),
  absorptionIndex: z.number().nullish(),
  dispersant: z.string().max(400).nullish(),
  ultrasoundPowerW: z.number().nullish(),
  ultrasoundTimeS: z.number().nullish(),
  obscurationPercent: z.number().nullish(),
  date: z.string().max(400).nullish(),
  operator: z.string().max(400).nullish(),
  instrument: z.string().max(400).nullish(),
  referenceDrum: z.string().max(400).nullish(),
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

/** A pair of areas; how it was measured is left out where it was not noted. */
export const pairSchema = z.object({
  stage: z.string(),
  geometricM2PerG: z.number(),
  betM2PerG: z.number(),
  instrument: z.string().max(200).optional(),
  optics: z.string().max(200).optional(),
  dopantClass: z.string().max(200).optional(),
  measuredOn: z.string().max(40).optional(),
  densityGPerCm3: z.number().positive().max(30).optional(),
});

export function pairOf({ stage, geometricM2PerG, betM2PerG, ...noted }: z.infer<typeof pairSchema>): BetPair {
  return { stage, geometricM2PerG, betM2PerG, ...withoutUndefined(noted) };
}

const beliefOf = z.object({ mean: z.number(), sd: z.number().positive() });

export const priorsSchema = z.object({
  medianOverCut: z.number().positive(),
  medianSd: z.number().positive(),
  speed: beliefOf,
  flow: beliefOf,
  feed: beliefOf,
  noise: z.number().positive(),
  width: beliefOf.default(usualPriors.width),
  widthSlopeSd: z.number().positive().default(usualPriors.widthSlopeSd),
  circuit: z
    .object({
      sharpness: z.number().gt(0).lt(1),
      fragmentExponent: z.number().positive(),
      rateExponent: z.number().positive(),
      load: z.number().positive(),
    })
    .default(usualPriors.circuit),
});

export const pressurePriorsSchema = z.object({ pressure: beliefOf, feed: beliefOf });

export const pressureTrialSchema = z.object({
  pressureBar: z.number().positive(),
  feedKgPerH: z.number().positive().nullable(),
  d50Um: z.number().positive(),
});

/** The answers a table was read with. */
export const savedOptionsSchema = z.object({
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
