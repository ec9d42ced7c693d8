import { createRoute, type OpenAPIHono, z } from "@hono/zod-openapi";
import { HTTPException } from "hono/http-exception";
import { measured } from "#distributions/measured.ts";
import type { Problem } from "#distributions/problem.ts";
import type { Band } from "#model/band/band.ts";
import { parseBand } from "#model/band/bandFile.ts";
import { type Mill, parseMill } from "#model/mill/mill.ts";
import type { Store } from "../store/store.ts";
import { curveSchema, trialSchema } from "../store/stored.ts";
import { documented, idParameter, json } from "./shared.ts";

const anything = z.unknown();
const numbered = z.object({ id: z.number() });
const bandBody = {
  body: {
    required: true,
    content: { "application/json": { schema: anything.openapi({ description: "A band, as BAND.json" }) } },
  },
};
const millBody = {
  body: {
    required: true,
    content: {
      "application/json": {
        schema: z.object({
          name: z.string().trim().min(1).max(200),
          mill: anything.openapi({ description: "A mill, as MILL.json" }),
        }),
      },
    },
  },
};
const newTrial = z.object({
  name: z.string().max(200),
  trial: trialSchema,
  curve: curveSchema.nullable().default(null),
});
const pair = z.object({
  stage: z.string().min(1).max(50),
  geometricM2PerG: z.number().positive(),
  betM2PerG: z.number().positive(),
});

const list = (path: string, summary: string) =>
  createRoute({ method: "get", path, summary, responses: { 200: documented(summary, z.looseObject({})) } });

/** What stands on the shelf: bands, mills with their trials, BET pairs. */
export function shelfRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(list("/api/bands", "All bands"), async () => Response.json({ bands: await store.bands() }));
  app.openapi(
    createRoute({
      method: "post",
      path: "/api/bands",
      summary: "Keep a band",
      request: bandBody,
      responses: { 201: json("Kept", numbered) },
    }),
    async (c) => c.json({ id: await store.keepBand(bandOf(c.req.valid("json"))) }, 201),
  );
  app.openapi(
    createRoute({
      method: "put",
      path: "/api/bands/{id}",
      summary: "Change a band",
      request: { params: idParameter, ...bandBody },
      responses: { 200: json("Changed", numbered) },
    }),
    async (c) => {
      const { id } = c.req.valid("param");
      if (!(await store.changeBand(id, bandOf(c.req.valid("json")))))
        throw new HTTPException(404, { message: `There is no band ${id}.` });
      return c.json({ id }, 200);
    },
  );

  app.openapi(list("/api/mills", "All mills"), async () => Response.json({ mills: await store.mills() }));
  app.openapi(
    createRoute({
      method: "post",
      path: "/api/mills",
      summary: "Keep a mill",
      request: millBody,
      responses: { 201: json("Kept", numbered) },
    }),
    async (c) => {
      const { name, mill } = c.req.valid("json");
      return c.json({ id: await store.keepMill(name, millOf(mill)) }, 201);
    },
  );
  app.openapi(
    createRoute({
      method: "put",
      path: "/api/mills/{id}",
      summary: "Change a mill",
      request: { params: idParameter, ...millBody },
      responses: { 200: json("Changed", numbered) },
    }),
    async (c) => {
      const { id } = c.req.valid("param");
      const { name, mill } = c.req.valid("json");
      if (!(await store.changeMill(id, name, millOf(mill)))) throw noMill(id);
      return c.json({ id }, 200);
    },
  );

  const trialsPath = "/api/mills/{id}/trials";
  app.openapi(
    createRoute({
      method: "get",
      path: trialsPath,
      summary: "The trials of a mill",
      request: { params: idParameter },
      responses: { 200: documented("Trials", z.looseObject({})) },
    }),
    async (c) => Response.json({ trials: await store.trials(c.req.valid("param").id) }),
  );
  app.openapi(
    createRoute({
      method: "post",
      path: trialsPath,
      summary: "Keep trials, all or none",
      request: {
        params: idParameter,
        body: {
          required: true,
          content: { "application/json": { schema: z.object({ trials: z.array(newTrial).min(1) }) } },
        },
      },
      responses: { 201: json("Kept", z.object({ kept: z.number() })) },
    }),
    async (c) => {
      const { id } = c.req.valid("param");
      if (!(await store.mills()).some((m) => m.id === id)) throw noMill(id);
      const { trials } = c.req.valid("json");
      await store.keepTrials(
        id,
        trials.map((t) => ({ ...t, curve: t.curve === null ? null : measured(t.curve) })),
      );
      return c.json({ kept: trials.length }, 201);
    },
  );

  app.openapi(list("/api/pairs", "All BET pairs"), async () => Response.json({ pairs: await store.pairs() }));
  app.openapi(
    createRoute({
      method: "post",
      path: "/api/pairs",
      summary: "Note a BET pair",
      request: { body: { required: true, content: { "application/json": { schema: pair } } } },
      responses: { 201: json("Kept", numbered) },
    }),
    async (c) => c.json({ id: await store.keepPair(c.req.valid("json")) }, 201),
  );
}

const noMill = (id: number) => new HTTPException(404, { message: `There is no mill ${id}.` });

function bandOf(value: unknown): Band {
  const { band, problems } = parseBand(value, null);
  if (band === null) throw unusable(problems);
  return band;
}

function millOf(value: unknown): Mill {
  const { mill, problems } = parseMill(value, null);
  if (mill === null) throw unusable(problems);
  return mill;
}

function unusable(problems: readonly Problem[]): HTTPException {
  return new HTTPException(422, { message: problems.map((p) => p.message).join(" ") });
}
