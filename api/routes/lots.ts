import { createRoute, type OpenAPIHono, z } from "@hono/zod-openapi";
import { HTTPException } from "hono/http-exception";
import { stages } from "#model/stages.ts";
import { givenOf, optionsSchema, problemSchema, readRequest } from "../asking/requests.ts";
import { readingOptionsOf } from "../asking/words.ts";
import type { Store } from "../store/store.ts";
import { curveSchema } from "../store/stored.ts";
import { idParameter, json } from "./shared.ts";

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
    lotId: z.number(),
    stage,
    name: z.string(),
    file: z.string().nullable(),
    distribution: readonlyCurve,
  })
  .openapi("Measurement");
const lotWithMeasurements = z.object({ lot: lotSchema, measurements: z.array(measurementSchema) });

const listLots = createRoute({
  method: "get",
  path: "/api/lots",
  summary: "All lots",
  responses: { 200: json("Lots", z.object({ lots: z.array(lotSchema) })) },
});
const keepLot = createRoute({
  method: "post",
  path: "/api/lots",
  summary: "Keep a lot",
  request: { body: { required: true, content: { "application/json": { schema: newLot } } } },
  responses: { 201: json("The lot", lotWithMeasurements) },
});
const showLot = createRoute({
  method: "get",
  path: "/api/lots/{id}",
  summary: "A lot with its measurements",
  request: { params: idParameter },
  responses: { 200: json("The lot", lotWithMeasurements) },
});
const bringIn = createRoute({
  method: "post",
  path: "/api/lots/{id}/measurements",
  summary: "Bring in a table: every measurement that can be read, none that cannot",
  request: {
    params: idParameter,
    body: {
      required: true,
      content: {
        "application/json": {
          schema: z.object({
            stage,
            file: z.string().max(400).nullable().default(null),
            text: z.string(),
            options: optionsSchema,
          }),
        },
      },
    },
  },
  responses: {
    201: json(
      "What was kept, and what was said while reading",
      z.object({ kept: z.number(), problems: z.array(problemSchema).readonly() }),
    ),
    422: json(
      "Nothing was kept: the problems say why",
      z.object({ kept: z.number(), problems: z.array(problemSchema).readonly() }),
    ),
  },
});

export function lotRoutes(app: OpenAPIHono, store: Store): void {
  const found = async (id: number) => {
    const lot = await store.lot(id);
    if (lot === null) throw new HTTPException(404, { message: `There is no lot ${id}.` });
    return lot;
  };

  app.openapi(listLots, async (c) => c.json({ lots: await store.lots() }, 200));

  app.openapi(keepLot, async (c) => {
    const lot = c.req.valid("json");
    if (lot.bandId !== null && !(await store.bands()).some((b) => b.id === lot.bandId)) {
      throw new HTTPException(422, { message: `There is no band ${lot.bandId}.` });
    }
    return c.json(await found(await store.keepLot(lot)), 201);
  });

  app.openapi(showLot, async (c) => c.json(await found(c.req.valid("param").id), 200));

  app.openapi(bringIn, async (c) => {
    const { id } = c.req.valid("param");
    await found(id);
    const { stage: at, file, text, options } = c.req.valid("json");
    const given = givenOf(options, "describe");
    const { measurements, problems } = readRequest({ text, ...(file === null ? {} : { name: file }) }, given);
    if (measurements.length === 0) return c.json({ kept: 0, problems }, 422);
    await store.keepMeasurements(id, at, measurements, { file, text, options: readingOptionsOf(given) });
    return c.json({ kept: measurements.length, problems }, 201);
  });
}
