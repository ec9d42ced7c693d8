import { z } from "zod";
import { howMeasured, type Told, withStated } from "#distributions/howMeasured.ts";
import { measured } from "#distributions/measured.ts";
import { parseBand } from "#model/band/bandFile.ts";
import { parseMill } from "#model/mill/mill.ts";
import { pressurePriors } from "#model/mill/wheelless/pressureLaw.ts";
import { stages } from "#model/stages.ts";
import { withoutUndefined } from "../asking/words.ts";
import type { Bodies, Kind } from "../records.ts";
import {
  curveSchema,
  optionsKeptSchema,
  pairOf,
  pairSchema,
  pressurePriorsSchema,
  pressureTrialSchema,
  priorsSchema,
  toldSchema,
  trialSchema,
} from "./stored.ts";

/** What the store must know of a kind of entry. */
interface EntryKind<B> {
  /** Checks a body that was written down, and puts its fields in their order. @throws when it is none */
  readonly read: (value: unknown) => B;
  /** The entry it belongs to. */
  readonly parent: (body: B) => number | null;
  readonly part: (body: B) => string;
  /** How the trail and a search name it. */
  readonly title: (body: B) => string;
  readonly words: (body: B) => string;
}

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
  options: optionsKeptSchema,
  keptAt: z.string(),
});
const measurement = z.object({
  lotId: id,
  importId: id,
  stage: z.enum(stages),
  name,
  file: textOrNothing,
  distribution: curveSchema.transform(measured),
  asideBecause: textOrNothing,
  howMeasured: toldSchema.optional(),
});
const mill = z.object({ name, mill: z.unknown() });
const trial = z.object({
  millId: id,
  name,
  trial: trialSchema,
  curve: curveSchema.transform(measured).nullable(),
  asideBecause: textOrNothing.default(null),
});
const belief = z.object({ millId: id, priors: priorsSchema, leftOutLots: z.array(id) });
const pressureMill = z.object({
  name,
  ratedBar: z.number().nullable(),
  trials: z.array(pressureTrialSchema),
  priors: pressurePriorsSchema.default(pressurePriors),
});
const stream = curveSchema.transform(measured).nullable();
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
          distribution: curveSchema.transform(measured),
          howMeasured: toldSchema.optional(),
        })
        .transform(withHow),
    ),
    band: z.unknown().transform((band) => (band === null ? null : readBand(band))),
  }),
  result: z.unknown(),
  hash: z.string(),
  sheet: z.object({ html: z.string(), sha256: z.string() }).nullable().default(null),
});

/** What is stated of how it was measured, in one order; absent where nothing is. */
function withHow<T extends { readonly howMeasured?: Told | undefined }>({
  howMeasured: told = {},
  ...rest
}: T) {
  return { ...rest, ...withStated(howMeasured(told)) };
}

const alone = { parent: () => null, part: () => "", words: () => "" };

/** Every kind of entry, in an order in which each only refers to those before it. */
export const kinds: { readonly [K in Kind]: EntryKind<Bodies[K]> } = {
  band: { ...alone, read: readBand, title: (b) => `band "${b.name}"` },
  mill: { ...alone, read: readMill, title: (b) => `mill "${b.name}"` },
  lot: {
    ...alone,
    read: (value) => lot.parse(value),
    title: (b) => `lot "${b.name}"`,
    words: (b) => `${b.name}\n${b.material}\n${b.note}`.toLowerCase(),
  },
  import: {
    ...alone,
    read: (value) => {
      const { options, ...rest } = brought.parse(value);
      return { ...rest, options: withoutUndefined(options) };
    },
    parent: (b) => b.lotId,
    title: (b) => `table ${b.file ?? "as pasted"}`,
  },
  measurement: {
    ...alone,
    read: (value) => withHow(measurement.parse(value)),
    parent: (b) => b.lotId,
    part: (b) => (b.asideBecause === null ? b.stage : ""),
    title: (b) => `"${b.name}" (${b.stage})`,
  },
  trial: {
    ...alone,
    read: (value) => trial.parse(value),
    parent: (b) => b.millId,
    title: (b) => `trial "${b.name}"`,
  },
  pair: {
    ...alone,
    read: (value) => pairOf(pairSchema.parse(value)),
    title: (b) => `pair of ${b.stage}, ${b.geometricM2PerG} and ${b.betM2PerG} m²/g`,
  },
  belief: {
    ...alone,
    read: (value) => belief.parse(value),
    parent: (b) => b.millId,
    title: () => "what is believed before trials",
  },
  pressureMill: {
    ...alone,
    read: (value) => pressureMill.parse(value),
    title: (b) => `mill without a wheel "${b.name}"`,
  },
  balance: { ...alone, read: (value) => balance.parse(value), title: (b) => `stream balance "${b.name}"` },
  batch: {
    ...alone,
    read: (value) => batch.parse(value),
    parent: (b) => b.lotId,
    part: (b) => b.stage,
    title: (b) => `batch from ${b.stage}`,
  },
  stage: {
    ...alone,
    read: (value) => stageKept.parse(value),
    parent: (b) => b.lotId,
    part: (b) => b.stage,
    title: (b) => `settings of ${b.stage}`,
  },
  result: {
    ...alone,
    read: (value) => result.parse(value),
    parent: (b) => b.lotId,
    title: (b) => `${b.name} ${b.value} ${b.unit}`.trim(),
  },
  frozen: {
    ...alone,
    read: (value) => frozen.parse(value),
    parent: (b) => b.lotId,
    title: (b) => `frozen answer "${b.name}"`,
  },
};

export const kindNames: readonly Kind[] = [
  "band",
  "mill",
  "lot",
  "import",
  "measurement",
  "stage",
  "result",
  "batch",
  "trial",
  "belief",
  "pressureMill",
  "balance",
  "pair",
  "frozen",
];

/** @throws Error  the text names no kind of entry */
export function kindOf(text: string): Kind {
  const kind = kindNames.find((known) => known === text);
  if (kind === undefined) throw new Error(`There is no kind of entry ${text}.`);
  return kind;
}

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
