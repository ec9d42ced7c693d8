import { createRoute, type OpenAPIHono, z } from "@hono/zod-openapi";
import { HTTPException } from "hono/http-exception";
import { howMeasured, withStated } from "#distributions/howMeasured.ts";
import { stages } from "#model/stages.ts";
import {
  givenOf,
  optionsSchema,
  problemSchema,
  readRequest,
  tableSchema,
  textIn,
} from "../asking/requests.ts";
import { readingOptionsOf } from "../asking/words.ts";
import { idOf } from "../store/ledger.ts";
import type { Store } from "../store/store.ts";
import { curveSchema, toldSchema } from "../store/stored.ts";
import { changeRoute, removeRoute } from "./changeable.ts";
import { changeHeaders, damagedSchema, idParameter, json, numbered, occasionOf } from "./shared.ts";

const newLot = z.object({
  name: z.string().trim().min(1).max(200),
  material: z.string().max(200).default(""),
  densityGPerCm3: z.number().positive().max(30),
  bandId: z.number().int().nullable().default(null),
  note: z.string().max(5000).default(""),
});
const stage = z.enum(stages);
const lotSchema = newLot
  .extend({
    id: z.number(),
    version: z.number(),
    keptAt: z.string(),
    stages: z.array(z.object({ stage, runs: z.number() })).readonly(),
  })
  .openapi("Lot");
const readonlyCurve = curveSchema.extend({
  lowerUm: curveSchema.shape.lowerUm.readonly(),
  upperUm: curveSchema.shape.upperUm.readonly(),
  shares: curveSchema.shape.shares.readonly(),
});
const measurementSchema = z
  .object({
    id: z.number(),
    version: z.number(),
    lotId: z.number(),
    stage,
    name: z.string(),
    file: z.string().nullable(),
    distribution: readonlyCurve,
    asideBecause: z.string().nullable(),
    howMeasured: toldSchema
      .optional()
      .openapi({ description: "How it was measured; what is absent is not stated" }),
  })
  .openapi("Measurement");
const lotWithMeasurements = z.object({
  lot: lotSchema,
  measurements: z.array(measurementSchema),
  damaged: damagedSchema,
});
const wholeNumber = z
  .string()
  .regex(/^\d{1,9}$/)
  .transform(Number);
const broughtIn = z.object({
  kept: z.number(),
  problems: z.array(problemSchema).readonly(),
  outcomes: z
    .array(
      z.object({
        file: z.string().nullable(),
        measurement: z.string(),
        state: z.enum(["read", "read with notes", "needs an answer", "refused"]),
      }),
    )
    .readonly()
    .openapi({ description: "What became of each measurement of the table" }),
});

const listLots = createRoute({
  method: "get",
  path: "/api/lots",
  summary: "All lots, or those that are asked for",
  request: {
    query: z.object({
      search: z
        .string()
        .max(200)
        .optional()
        .openapi({ description: "Words that all occur in name, material or note" }),
      limit: wholeNumber.optional().openapi({ type: "integer", description: "At most this many" }),
      offset: wholeNumber.optional().openapi({ type: "integer", description: "Leaving out this many" }),
    }),
  },
  responses: {
    200: json(
      "Lots, and how many there are of those asked for",
      z.object({ lots: z.array(lotSchema), total: z.number(), damaged: damagedSchema }),
    ),
  },
});
const keepLot = createRoute({
  method: "post",
  path: "/api/lots",
  summary: "Keep a lot",
  request: {
    headers: changeHeaders,
    body: { required: true, content: { "application/json": { schema: newLot } } },
  },
  responses: { 201: json("The lot", lotWithMeasurements) },
});
const showLot = createRoute({
  method: "get",
  path: "/api/lots/{id}",
  summary: "A lot with its measurements; its version is the ETag",
  request: { params: idParameter },
  responses: { 200: json("The lot", lotWithMeasurements) },
});
const bringIn = createRoute({
  method: "post",
  path: "/api/lots/{id}/measurements",
  summary: "Bring in a table: every measurement that can be read, none that cannot",
  request: {
    params: idParameter,
    headers: changeHeaders,
    body: {
      required: true,
      content: {
        "application/json": {
          schema: z.object({
            stage,
            file: z
              .string()
              .max(400)
              .nullable()
              .default(null)
              .transform((file) => (file === "" ? null : file)),
            text: z.string().optional(),
            base64: tableSchema.shape.base64,
            options: optionsSchema,
            howMeasured: toldSchema.default({}).openapi({
              description: "Laid over what the table states of it; null takes a field back",
            }),
          }),
        },
      },
    },
  },
  responses: {
    201: json("What was kept, and what was said while reading", broughtIn),
    422: json("Nothing was kept: the problems say why", broughtIn),
  },
});
const changedRun = z.object({
  name: z.string().trim().min(1).max(200),
  stage,
  asideBecause: z
    .string()
    .trim()
    .min(1)
    .max(1000)
    .nullable()
    .default(null)
    .openapi({ description: "Why the run is set aside; null while it counts" }),
  howMeasured: toldSchema
    .optional()
    .openapi({ description: "All of how it was measured; left out, it stays as it is" }),
});
const noteHow = createRoute({
  method: "post",
  path: "/api/how-measured",
  summary:
    "Note how several runs of a lot were measured, over what they state; all of them or none, and null takes a field back",
  request: {
    headers: changeHeaders,
    body: {
      required: true,
      content: {
        "application/json": {
          schema: z.object({
            runs: z
              .array(numbered)
              .min(1)
              .max(1000)
              .refine((runs) => new Set(runs.map((run) => run.id)).size === runs.length, {
                message: "each run once",
              }),
            howMeasured: toldSchema,
          }),
        },
      },
    },
  },
  responses: {
    200: json("How many runs", z.object({ noted: z.number() })),
    412: { description: "Someone else changed one of them: `theirs` is what stands" },
  },
});

export function lotRoutes(app: OpenAPIHono, store: Store): void {
  const found = async (id: number) => {
    const lot = await store.lot(id);
    if (lot === null) throw new HTTPException(404, { message: `There is no lot ${id}.` });
    return lot;
  };
  const holdAgainst = async (bandId: number | null) => {
    if (bandId !== null && (await store.versionOf("band", bandId)) === null)
      throw new HTTPException(422, { message: `There is no band ${bandId}.` });
  };

  app.openapi(listLots, async (c) => {
    const { search, limit, offset } = c.req.valid("query");
    const asked = {
      ...(search === undefined ? {} : { search }),
      ...(limit === undefined ? {} : { limit }),
      ...(offset === undefined ? {} : { offset }),
    };
    return c.json(await store.lots(asked), 200);
  });

  app.openapi(keepLot, async (c) => {
    const lot = c.req.valid("json");
    await holdAgainst(lot.bandId);
    const answer = await found(idOf(await store.keepLot(lot, await occasionOf(c))));
    c.header("etag", `"${answer.lot.version}"`);
    return c.json(answer, 201);
  });

  app.openapi(showLot, async (c) => {
    const answer = await found(c.req.valid("param").id);
    c.header("etag", `"${answer.lot.version}"`);
    return c.json(answer, 200);
  });

  changeRoute(
    app,
    store,
    { path: "/api/lots", kind: "lot", body: newLot },
    async (id, lot, expected, occasion) => {
      await holdAgainst(lot.bandId);
      return store.changeLot(id, lot, expected, occasion);
    },
  );
  removeRoute(app, { path: "/api/lots", kind: "lot" }, store.removeLot);

  app.openapi(bringIn, async (c) => {
    const { id } = c.req.valid("param");
    await found(id);
    const { stage: at, file, text: sent, base64, options, howMeasured: told } = c.req.valid("json");
    const given = givenOf(options, "describe");
    const name = file === null ? {} : { name: file };
    const table = { ...name, ...(sent === undefined ? { base64 } : { text: sent }) };
    const { measurements, problems, outcomes = [] } = await readRequest(table, given);
    if (measurements.length === 0) return c.json({ kept: 0, problems, outcomes }, 422);
    const reading = readingOptionsOf(given);
    const bytes = sent === undefined ? Buffer.from(base64 ?? "", "base64") : Buffer.from(sent);
    const text = sent ?? (await textIn(bytes, reading));
    if (typeof text !== "string") return c.json({ kept: 0, problems: [text], outcomes }, 422);
    const received = { file, text, bytes, options: reading };
    const stated = measurements.map(({ howMeasured: how = {}, ...rest }) => ({
      ...rest,
      ...withStated(howMeasured(told, how)),
    }));
    await store.keepMeasurements(id, at, stated, received, await occasionOf(c));
    return c.json({ kept: measurements.length, problems, outcomes }, 201);
  });

  app.openapi(noteHow, async (c) => {
    const { runs, howMeasured: told } = c.req.valid("json");
    await store.noteHowMeasured(runs, told, await occasionOf(c));
    return c.json({ noted: runs.length }, 200);
  });

  changeRoute(
    app,
    store,
    { path: "/api/measurements", kind: "measurement", body: changedRun },
    store.changeMeasurement,
  );
}
