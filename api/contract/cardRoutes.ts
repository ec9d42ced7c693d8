import { createRoute, z } from "@hono/zod-openapi";
import { bandFields } from "#api/records/band.ts";
import {
  curveFields,
  dayGiven,
  listOf,
  metadataAnswer,
  noteGiven,
  stageField,
  stageWord,
} from "#api/records/fields.ts";
import { photographFields } from "#api/records/photograph.ts";
import { releaseFields } from "#api/records/releaseRecord.ts";
import { resultFields } from "#api/records/result.ts";
import { signatureStates } from "#api/records/signature.ts";
import { settingFields, stageFields } from "#api/records/stageRecord.ts";
import { reportLevels } from "#model/answers/report/reportLevels.ts";
import { decisionRules } from "#model/band/band.ts";
import { changeRoute, removeRoute, saved } from "./entryRoutes.ts";
import { savedCheckAnswer } from "./lotAnswers.ts";
import {
  bodyOf,
  changeHeaders,
  damagedSchema,
  idParameter,
  idsField,
  json,
  numbered,
  refused,
  wholeNumber,
} from "./shapes.ts";

const oneLine = z.string().trim().min(1);
const settingGiven = settingFields.extend({
  name: oneLine.max(100),
  value: z.string().max(200),
  unit: z.string().max(50).default(""),
});
const stageGiven = stageFields.omit({ lotId: true, stage: true }).extend({
  settings: z.array(settingGiven).max(100).default([]),
  note: noteGiven,
  kind: stageFields.shape.kind.unwrap().nullish(),
  date: dayGiven.nullish(),
  massInG: stageFields.shape.massInG.unwrap().nullish(),
  massOutG: stageFields.shape.massOutG.unwrap().nullish(),
  weighed: listOf(z.object({ name: oneLine.max(200), massG: z.number().positive() }))
    .nullish()
    .openapi({ description: "What was weighed in, as a recipe has it; null takes it off" }),
});
const resultGiven = resultFields.omit({ lotId: true }).extend({
  stage: stageWord.nullable().default(null),
  name: oneLine.max(100),
  unit: z.string().max(50),
  uncertainty: z
    .number()
    .nonnegative()
    .nullable()
    .default(null)
    .openapi({ description: "Standard uncertainty, in the same unit" }),
  note: noteGiven,
  date: dayGiven.nullish(),
  method: z.string().max(200).nullish(),
});
const exampleResult = { stage: "milled", name: "BET area", value: 1.21, unit: "m²/g", uncertainty: 0.02 };

const signatureState = z.enum(signatureStates).openapi({
  description:
    "Whose signature it bears: this lab's (own), another key's (foreign), none, or one that does not fit (forged)",
});
const listedRelease = saved(
  releaseFields.pick({
    lotId: true,
    name: true,
    note: true,
    releasedAt: true,
    modelVersion: true,
    hash: true,
  }),
).extend({ stage: stageField, sentence: z.string(), hasSheet: z.boolean(), signatureState });
const shownRelease = z.object({
  released: saved(releaseFields).extend({
    inputs: releaseFields.shape.inputs.extend({
      runs: listOf(
        z.object({
          file: z.string().nullable(),
          name: z.string(),
          distribution: curveFields,
          howMeasured: metadataAnswer.exactOptional(),
          portion: z.string().exactOptional(),
        }),
      ),
      band: bandFields.nullable(),
    }),
    sheet: z.object({ html: z.string(), sha256: z.string() }).nullable(),
  }),
  signatureState,
  again: z
    .object({
      modelVersion: z.string(),
      result: z.unknown(),
      differences: listOf(z.object({ field: z.string(), released: z.unknown(), now: z.unknown() })),
    })
    .openapi({ description: "The same computed today from the same inputs, and where it differs" }),
  changedInputs: listOf(z.string()).openapi({ description: "Which of its inputs are no longer so" }),
});

export const showCard = createRoute({
  method: "get",
  path: "/api/lots/{id}/card",
  operationId: "showCard",
  summary:
    "What a lot's card says beside its runs: stage settings, other results, photographs, frozen answers",
  request: { params: idParameter },
  responses: {
    200: json(
      "The card",
      z.object({
        stages: listOf(saved(stageFields)),
        results: listOf(saved(resultFields)),
        photographs: listOf(saved(photographFields)),
        released: listOf(listedRelease),
        damaged: damagedSchema,
      }),
    ),
  },
});
export const stageParameters = idParameter.extend({
  stage: stageWord.openapi({ param: { name: "stage", in: "path" }, example: "milled" }),
});
export const keepStage = createRoute({
  method: "put",
  path: "/api/lots/{id}/stages/{stage}",
  operationId: "keepStage",
  summary: "Settings and note of a stage of a lot; both empty takes them off",
  request: {
    params: stageParameters,
    headers: changeHeaders,
    ...bodyOf(stageGiven, { settings: [{ name: "wheel speed", value: "6200", unit: "rpm" }], note: "" }),
  },
  responses: {
    200: json("Kept", z.object({ lotId: z.number(), stage: stageField })),
    ...refused(404, 412, 413, 422),
  },
});
export const keepResult = createRoute({
  method: "post",
  path: "/api/lots/{id}/results",
  operationId: "keepResult",
  summary: "Note a result of the lab, with its unit and uncertainty",
  request: { params: idParameter, headers: changeHeaders, ...bodyOf(resultGiven, exampleResult) },
  responses: { 201: json("Kept", numbered), ...refused(404, 413, 422) },
});
const result = { path: "/api/results", kind: "result", called: "Result" } as const;
export const changeResult = changeRoute(result, resultGiven, exampleResult);
export const removeResult = removeRoute(result);
export const release = createRoute({
  method: "post",
  path: "/api/lots/{id}/frozen",
  operationId: "release",
  summary: "Freeze what is answered today about a stage: inputs, model version, result and hash",
  request: {
    params: idParameter,
    headers: changeHeaders,
    ...bodyOf(z.object({ stage: stageWord, name: oneLine.max(200), note: noteGiven }), {
      stage: "re-fired",
      name: "release to the customer",
    }),
  },
  responses: { 201: json("Frozen", numbered), ...refused(404, 413, 422) },
});
export const showRelease = createRoute({
  method: "get",
  path: "/api/frozen/{id}",
  operationId: "showRelease",
  summary: "A frozen answer, beside it the same computed today, and which of its inputs are no longer so",
  request: { params: idParameter },
  responses: { 200: json("The frozen answer", shownRelease), ...refused(404) },
});
const page = { "text/html": { schema: z.string() } };
export const showReleasedReport = createRoute({
  method: "get",
  path: "/api/frozen/{id}/sheet",
  operationId: "showReleasedReport",
  summary: "The sheet as it was frozen, byte for byte, whatever version made it",
  request: { params: idParameter },
  responses: { 200: { description: "The sheet", content: page }, ...refused(404) },
});
/** In %. Beyond ten times the value itself no interval can be written down any more. */
const coefficient = z.coerce.number().nonnegative().max(1000).optional();
export const checkLot = createRoute({
  method: "get",
  path: "/api/lots/{id}/check",
  operationId: "checkLot",
  summary: "The verdict on a stage of a saved lot, from all that is saved of it and of its material",
  request: {
    params: idParameter,
    query: z.object({
      stage: stageWord
        .optional()
        .openapi({ description: "Left out, the band's where the lot has runs of it, else the furthest" }),
      bandId: wholeNumber
        .optional()
        .openapi({ type: "integer", description: "A saved band instead of the one that applies" }),
      rule: z.enum(decisionRules).optional(),
      samplingCv: coefficient.openapi({ description: "Of sampling, in %" }),
      opticalCv: coefficient.openapi({ description: "Of the optical model, in %" }),
      densityCv: coefficient.openapi({ description: "Of the density, in %" }),
    }),
  },
  responses: { 200: json("The verdict", savedCheckAnswer), ...refused(404, 422) },
});
export const showLabels = createRoute({
  method: "get",
  path: "/api/labels",
  operationId: "showLabels",
  summary: "Labels for the jars of lots, as a page that prints",
  request: {
    query: z.object({
      ids: idsField,
      stage: stageWord.optional(),
    }),
  },
  responses: { 200: { description: "The labels", content: page }, ...refused(404, 422) },
});
export const showReport = createRoute({
  method: "get",
  path: "/api/lots/{id}/sheet",
  operationId: "showReport",
  summary: "One sheet about a stage of a lot, as a page that prints",
  request: {
    params: idParameter,
    query: z.object({
      stage: stageWord.optional(),
      report: z.enum(reportLevels).optional(),
      issuer: z.string().max(200).optional().openapi({ description: "Who issues a customer's report" }),
      customer: z.string().max(200).optional().openapi({ description: "Whom a customer's report is for" }),
    }),
  },
  responses: { 200: { description: "The sheet", content: page }, ...refused(404, 422) },
});
export const showReports = createRoute({
  method: "get",
  path: "/api/sheets",
  operationId: "showReports",
  summary: "Sheets about several lots, or about all lots made in a month, as one page that prints",
  request: {
    query: z.object({
      ids: idsField.optional(),
      month: z
        .string()
        .regex(/^\d{4}-(0[1-9]|1[0-2])$/, "a month as 2026-03")
        .optional()
        .openapi({ description: "All lots made in this month, instead of ids", example: "2026-03" }),
      stage: stageWord.optional(),
      report: z.enum(reportLevels).optional(),
      issuer: z.string().max(200).optional().openapi({ description: "Who issues a customer's report" }),
      customer: z.string().max(200).optional().openapi({ description: "Whom a customer's report is for" }),
    }),
  },
  responses: { 200: { description: "The sheets", content: page }, ...refused(404, 422) },
});
