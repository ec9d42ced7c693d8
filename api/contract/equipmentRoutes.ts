import { createRoute, z } from "@hono/zod-openapi";
import { bandFields } from "#api/records/band.ts";
import { batchFields } from "#api/records/batch.ts";
import { curveField, curveFields, listOf, nameGiven, reasonGiven, stageField } from "#api/records/fields.ts";
import { millFields } from "#api/records/mill.ts";
import { priorsFields } from "#api/records/priors.ts";
import { trialFields } from "#api/records/trial.ts";
import type { Band } from "#model/band/band.ts";
import type { Mill } from "#model/mill/mill.ts";
import { usualPriors } from "#model/mill/trials/priors.ts";
import { stageParameters } from "./cardRoutes.ts";
import { changeRoute, keepRoute, listRoute, removeRoute, saved } from "./entryRoutes.ts";
import { exampleBand, exampleMill, exampleTrial } from "./examples.ts";
import {
  bodyOf,
  changeHeaders,
  damagedSchema,
  fileOf,
  idParameter,
  json,
  numbered,
  refused,
} from "./shapes.ts";

const band = { path: "/api/bands", kind: "band", called: "Band" } as const;
const bandGiven = fileOf<Band>("Band");
export const listBands = listRoute(
  { path: band.path, operationId: "listBands", summary: "All bands" },
  z.object({
    bands: listOf(numbered.extend({ band: bandFields })),
    damaged: damagedSchema,
  }),
);
export const keepBand = keepRoute(
  { path: band.path, operationId: "keepBand", summary: "Keep a band" },
  bandGiven,
  exampleBand,
);
export const changeBand = changeRoute(band, bandGiven, exampleBand);
export const removeBand = removeRoute(band);

const mill = { path: "/api/mills", kind: "mill", called: "Mill" } as const;
const millGiven = z.object({ name: nameGiven, mill: fileOf<Mill>("Mill") });
const exampleNamedMill = { name: "Pilot mill", mill: exampleMill };
export const listMills = listRoute(
  { path: mill.path, operationId: "listMills", summary: "All mills" },
  z.object({ mills: listOf(saved(millFields)), damaged: damagedSchema }),
);
export const keepMill = keepRoute(
  { path: mill.path, operationId: "keepMill", summary: "Keep a mill" },
  millGiven,
  exampleNamedMill,
);
export const changeMill = changeRoute(mill, millGiven, exampleNamedMill);
export const removeMill = removeRoute(mill);

const trial = { path: "/api/trials", kind: "trial", called: "Trial" } as const;
const trialGiven = trialFields.omit({ millId: true }).extend({
  name: z.string().max(200),
  curve: curveField.nullable().default(null),
  exclusionReason: reasonGiven(5000),
  materialId: trialFields.shape.materialId.unwrap().nullish(),
  feed: trialFields.shape.feed.unwrap().nullish().openapi({ description: "What was fed" }),
  sample: trialFields.shape.sample
    .unwrap()
    .nullish()
    .openapi({ description: "The stage it made of a lot, where its product was kept as one" }),
  feedMassG: trialFields.shape.feedMassG.unwrap().nullish(),
  productMassG: trialFields.shape.productMassG.unwrap().nullish(),
  settings: trialFields.shape.settings
    .unwrap()
    .nullish()
    .openapi({ description: "What else was set or noted: a number or a word with its unit" }),
});
const exampleNamedTrial = { name: "trial 1", trial: exampleTrial };
export const listTrials = createRoute({
  method: "get",
  path: "/api/mills/{id}/trials",
  operationId: "listTrials",
  summary: "The trials of a mill",
  request: { params: idParameter },
  responses: {
    200: json(
      "Trials",
      z.object({
        trials: listOf(
          saved(trialFields).extend({
            curve: curveFields.nullable(),
            exclusionReason: z.string().nullable(),
          }),
        ),
        damaged: damagedSchema,
      }),
    ),
  },
});
export const keepTrials = createRoute({
  method: "post",
  path: "/api/mills/{id}/trials",
  operationId: "keepTrials",
  summary: "Keep trials, all or none",
  request: {
    params: idParameter,
    headers: changeHeaders,
    ...bodyOf(z.object({ trials: z.array(trialGiven).min(1) }), { trials: [exampleNamedTrial] }),
  },
  responses: { 201: json("Kept", z.object({ kept: z.number() })), ...refused(404, 413, 422) },
});
export const changeTrial = changeRoute(trial, trialGiven, exampleNamedTrial);
export const removeTrial = removeRoute(trial);

const priorsGiven = priorsFields
  .omit({ millId: true, materialId: true })
  .extend({ excludedLots: z.array(z.number().int().positive()).max(1000).default([]) })
  .nullable()
  .openapi({ description: "null takes the mill back to the usual beliefs" });
const knownGiven = priorsGiven
  .unwrap()
  .nullable()
  .openapi({ description: "null takes the pair back to what is believed of the mill" });
export const listPriors = listRoute(
  {
    path: "/api/beliefs",
    operationId: "listPriors",
    summary: "What is believed of each mill, or of a mill with a material, before trials",
  },
  z.object({ savedPriors: listOf(saved(priorsFields)), damaged: damagedSchema }),
);
export const keepPriors = createRoute({
  method: "put",
  path: "/api/mills/{id}/belief",
  operationId: "keepPriors",
  summary: "What is believed of a mill before trials, and which lots' re-firing does not count",
  request: {
    params: idParameter,
    headers: changeHeaders,
    ...bodyOf(priorsGiven, { priors: usualPriors, excludedLots: [] }),
  },
  responses: { 200: json("Kept", z.object({ millId: z.number() })), ...refused(404, 412, 413, 422) },
});

const materialOfMill = idParameter.extend({
  materialId: z.coerce
    .number()
    .int()
    .positive()
    .openapi({ param: { name: "materialId", in: "path" }, example: 1 }),
});
export const keepKnown = createRoute({
  method: "put",
  path: "/api/mills/{id}/materials/{materialId}",
  operationId: "keepKnownOfMill",
  summary:
    "What is known of a mill with one material: priors, grinding limit, and which lots' re-firing does not count",
  request: {
    params: materialOfMill,
    headers: changeHeaders,
    ...bodyOf(knownGiven, { priors: usualPriors, excludedLots: [], grindingLimitUm: 0.6 }),
  },
  responses: {
    200: json("Kept", z.object({ millId: z.number(), materialId: z.number() })),
    ...refused(404, 412, 413, 422),
  },
});

const positiveOrNull = z.number().positive().nullable().default(null);
const batchGiven = batchFields
  .omit({ lotId: true, stage: true })
  .extend({
    afterMin: positiveOrNull,
    d50AfterUm: positiveOrNull,
    targetD50Um: positiveOrNull,
    rateExponent: z.number().positive(),
    fragmentExponent: z.number().positive(),
  })
  .nullable()
  .openapi({ description: "null takes the batch away" });
export const listBatches = listRoute(
  { path: "/api/batches", operationId: "listBatches", summary: "The batches noted of stages of lots" },
  z.object({ batches: listOf(saved(batchFields)), damaged: damagedSchema }),
);
export const keepBatch = createRoute({
  method: "put",
  path: "/api/lots/{id}/batches/{stage}",
  operationId: "keepBatch",
  summary: "A batch that started from a stage of a lot",
  request: {
    params: stageParameters,
    headers: changeHeaders,
    ...bodyOf(batchGiven, { afterMin: 20, d50AfterUm: 3.1, rateExponent: 1, fragmentExponent: 1 }),
  },
  responses: {
    200: json("Kept", z.object({ lotId: z.number(), stage: stageField })),
    ...refused(404, 412, 413, 422),
  },
});
