import { z } from "zod";
import { mergedMetadata } from "#distributions/measurementMetadata.ts";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { parseBand } from "#model/band/bandFile.ts";
import { stages } from "#model/lot/stages.ts";
import { parseMill } from "#model/mill/mill.ts";
import { pressurePriors } from "#model/mill/pressure/pressureRegression.ts";
import type { Bodies, EntryKind } from "./records.ts";
import {
  curveSchema,
  metadataSchema,
  pairOf,
  pairSchema,
  pressurePriorsSchema,
  pressureTrialSchema,
  priorsSchema,
  savedOptionsSchema,
  trialSchema,
} from "./schemas.ts";
import { withoutUndefined } from "./withoutUndefined.ts";

const name = z.string();
const id = z.number().int();
/** An empty text is nothing: a table cannot tell them apart. */
const textOrNothing = z
  .string()
  .nullable()
  .transform((text) => (text === "" ? null : text));
const lot = z.object({
  name,
  material: z.string(),
  densityGPerCm3: z.number(),
  bandId: id.nullable(),
  note: z.string(),
  keptAt: z.string(),
});
const brought = z.object({
  lotId: id,
  file: textOrNothing,
  text: z.string(),
  sha256: z.string(),
  base64: z.string().exactOptional(),
  options: savedOptionsSchema,
  keptAt: z.string(),
});
const measurement = z.object({
  lotId: id,
  importId: id,
  stage: z.enum(stages),
  name,
  file: textOrNothing,
  distribution: curveSchema.transform(sizeDistribution),
  asideBecause: textOrNothing,
  howMeasured: metadataSchema.optional(),
});
const mill = z.object({ name, mill: z.unknown() });
const trial = z.object({
  millId: id,
  name,
  trial: trialSchema,
  curve: curveSchema.transform(sizeDistribution).nullable(),
  asideBecause: textOrNothing.default(null),
});
const belief = z.object({ millId: id, priors: priorsSchema, leftOutLots: z.array(id) });
const pressureMill = z.object({
  name,
  ratedBar: z.number().nullable(),
  trials: z.array(pressureTrialSchema),
  priors: pressurePriorsSchema.default(pressurePriors),
});
const stream = curveSchema.transform(sizeDistribution).nullable();
const balance = z.object({
  name,
  feed: stream,
  fines: stream,
  coarse: stream,
  fineYield: z.number().nullable(),
});
const batch = z.object({
  lotId: id,
  stage: z.enum(stages),
  afterMin: z.number().nullable(),
  d50AfterUm: z.number().nullable(),
  targetD50Um: z.number().nullable(),
  rateExponent: z.number(),
  fragmentExponent: z.number(),
});

const setting = z.object({ name, value: z.string(), unit: z.string() });
const stageKept = z.object({
  lotId: id,
  stage: z.enum(stages),
  settings: z.array(setting),
  note: z.string(),
});
const result = z.object({
  lotId: id,
  stage: z.enum(stages).nullable(),
  name,
  value: z.number(),
  unit: z.string(),
  uncertainty: z.number().nullable(),
  note: z.string(),
});
const frozen = z.object({
  lotId: id,
  name,
  note: z.string(),
  frozenAt: z.string(),
  modelVersion: z.string(),
  inputs: z.object({
    lotName: z.string(),
    stage: z.enum(stages),
    densityGPerCm3: z.number(),
    runs: z.array(
      z
        .object({
          file: textOrNothing,
          name,
          distribution: curveSchema.transform(sizeDistribution),
          howMeasured: metadataSchema.optional(),
        })
        .transform((run) => mergedMetadata(run)),
    ),
    band: z.unknown().transform((band) => (band === null ? null : readBand(band))),
  }),
  result: z.unknown(),
  hash: z.string(),
  sheet: z.object({ html: z.string(), sha256: z.string() }).nullable().default(null),
});

/** How the body of each kind of entry is read from what was kept; zod or a reader of the model throws where it is none. */
export const bodyOf: { readonly [K in EntryKind]: (value: unknown) => Bodies[K] } = {
  band: readBand,
  mill: readMill,
  lot: (value) => lot.parse(value),
  import: (value) => {
    const { options, ...rest } = brought.parse(value);
    return { ...rest, options: withoutUndefined(options) };
  },
  measurement: (value) => mergedMetadata(measurement.parse(value)),
  trial: (value) => trial.parse(value),
  pair: (value) => pairOf(pairSchema.parse(value)),
  belief: (value) => belief.parse(value),
  pressureMill: (value) => pressureMill.parse(value),
  balance: (value) => balance.parse(value),
  batch: (value) => batch.parse(value),
  stage: (value) => stageKept.parse(value),
  result: (value) => result.parse(value),
  frozen: (value) => frozen.parse(value),
};

function readBand(value: unknown): Bodies["band"] {
  const { band, problems } = parseBand(value, null);
  if (band === null) throw new Error(problems.map((p) => p.message).join(" "));
  return band;
}

function readMill(value: unknown): Bodies["mill"] {
  const kept = mill.parse(value);
  const { mill: read, problems } = parseMill(kept.mill, null);
  if (read === null) throw new Error(problems.map((p) => p.message).join(" "));
  return { name: kept.name, mill: read };
}
