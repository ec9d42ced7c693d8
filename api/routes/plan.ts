import { createRoute, type OpenAPIHono, z } from "@hono/zod-openapi";
import type { Balance } from "#api/records/records.ts";
import {
  curveSchema,
  pressurePriorsSchema,
  pressureTrialSchema,
  priorsSchema,
} from "#api/records/schemas.ts";
import { idOf } from "#api/store/ledger/ledger.ts";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { stages } from "#model/lot/stages.ts";
import { pressurePriors } from "#model/mill/pressure/pressureRegression.ts";
import type { Store } from "../store/store.ts";
import { changeRoute, removeRoute } from "./changeable.ts";
import {
  changeHeaders,
  documented,
  expectedOf,
  idParameter,
  json,
  numbered,
  numberedAnswer,
  occasionOf,
} from "./shared.ts";

const beliefBody = z
  .object({ priors: priorsSchema, leftOutLots: z.array(z.number().int().positive()).max(1000).default([]) })
  .nullable()
  .openapi({ description: "null takes the mill back to the usual beliefs" });
const exponent = z.number().positive();
const positiveOrNull = z.number().positive().nullable().default(null);
const batchBody = z
  .object({
    afterMin: positiveOrNull,
    d50AfterUm: positiveOrNull,
    targetD50Um: positiveOrNull,
    rateExponent: exponent,
    fragmentExponent: exponent,
  })
  .nullable()
  .openapi({ description: "null takes the batch away" });
const name = z.string().trim().min(1).max(200);
const pressureMillBody = z.object({
  name,
  ratedBar: positiveOrNull,
  trials: z.array(pressureTrialSchema).max(1000),
  priors: pressurePriorsSchema.default(pressurePriors),
});
const stream = curveSchema.nullable().default(null);
const balanceBody = z.object({
  name,
  feed: stream,
  fines: stream,
  coarse: stream,
  fineYield: z.number().gt(0).lt(1).nullable().default(null),
});

const list = (path: string, summary: string) =>
  createRoute({ method: "get", path, summary, responses: { 200: documented(summary, z.looseObject({})) } });
const bodyOf = <S extends z.ZodType>(schema: S) => ({
  body: { required: true, content: { "application/json": { schema } } },
});
const keep = <S extends z.ZodType>(path: string, summary: string, schema: S) =>
  createRoute({
    method: "post",
    path,
    summary,
    request: { headers: changeHeaders, ...bodyOf(schema) },
    responses: { 201: json("Kept", numbered) },
  });

/** What a plan rests on beside mills and trials. */
export function planRoutes(app: OpenAPIHono, store: Store): void {
  beliefRoutes(app, store);
  batchRoutes(app, store);
  pressureMillRoutes(app, store);
  balanceRoutes(app, store);
}

function beliefRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(list("/api/beliefs", "What is believed of each mill before trials"), async () =>
    Response.json(await store.beliefs()),
  );
  app.openapi(
    createRoute({
      method: "put",
      path: "/api/mills/{id}/belief",
      summary: "What is believed of a mill before trials, and which lots' re-firing does not count",
      request: { params: idParameter, headers: changeHeaders, ...bodyOf(beliefBody) },
      responses: { 200: json("Kept", z.object({ millId: z.number() })) },
    }),
    async (c) => {
      const { id } = c.req.valid("param");
      await store.keepBelief(id, c.req.valid("json"), expectedOf(c), await occasionOf(c));
      return c.json({ millId: id }, 200);
    },
  );
}

function batchRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(list("/api/batches", "The batches noted of stages of lots"), async () =>
    Response.json(await store.batches()),
  );
  app.openapi(
    createRoute({
      method: "put",
      path: "/api/lots/{id}/batches/{stage}",
      summary: "A batch that started from a stage of a lot",
      request: {
        params: idParameter.extend({ stage: z.enum(stages) }),
        headers: changeHeaders,
        ...bodyOf(batchBody),
      },
      responses: { 200: json("Kept", z.object({ lotId: z.number(), stage: z.enum(stages) })) },
    }),
    async (c) => {
      const { id, stage } = c.req.valid("param");
      await store.keepBatch(id, stage, c.req.valid("json"), expectedOf(c), await occasionOf(c));
      return c.json({ lotId: id, stage }, 200);
    },
  );
}

function pressureMillRoutes(app: OpenAPIHono, store: Store): void {
  const at = { path: "/api/pressure-mills", kind: "pressureMill" } as const;
  app.openapi(list(at.path, "All mills without a wheel"), async () =>
    Response.json(await store.pressureMills()),
  );
  app.openapi(keep(at.path, "Keep a mill without a wheel, with its trials", pressureMillBody), async (c) => {
    const id = idOf(await store.keepPressureMill(c.req.valid("json"), await occasionOf(c)));
    return c.json(await numberedAnswer(c, store, at.kind, id), 201);
  });
  changeRoute(app, store, { ...at, body: pressureMillBody }, store.changePressureMill);
  removeRoute(app, at, store.removePressureMill);
}

function balanceRoutes(app: OpenAPIHono, store: Store): void {
  const at = { path: "/api/balances", kind: "balance" } as const;
  app.openapi(list(at.path, "All stream balances"), async () => Response.json(await store.balances()));
  app.openapi(keep(at.path, "Keep three measured streams of a separator", balanceBody), async (c) => {
    const id = idOf(await store.keepBalance(balanceOf(c.req.valid("json")), await occasionOf(c)));
    return c.json(await numberedAnswer(c, store, at.kind, id), 201);
  });
  changeRoute(app, store, { ...at, body: balanceBody }, (id, balance, expected, occasion) =>
    store.changeBalance(id, balanceOf(balance), expected, occasion),
  );
  removeRoute(app, at, store.removeBalance);
}

function balanceOf({ feed, fines, coarse, ...rest }: z.output<typeof balanceBody>): Balance {
  const of = (curve: typeof feed) => (curve === null ? null : sizeDistribution(curve));
  return { ...rest, feed: of(feed), fines: of(fines), coarse: of(coarse) };
}
