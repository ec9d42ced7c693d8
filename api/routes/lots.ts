import { createRoute, type OpenAPIHono, z } from "@hono/zod-openapi";
import { HTTPException } from "hono/http-exception";
import { curveSchema, metadataSchema } from "#api/records/schemas.ts";
import { idOf } from "#api/store/ledger/ledger.ts";
import { stages } from "#model/lot/stages.ts";
import type { Store } from "../store/store.ts";
import { changeRoute, removeRoute } from "./changeable.ts";
import { changeHeaders, damagedSchema, idParameter, json, occasionOf } from "./shared.ts";

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
    howMeasured: metadataSchema
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
}
