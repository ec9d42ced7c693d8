import { createRoute, type OpenAPIHono, z } from "@hono/zod-openapi";
import { UnusableInput } from "#api/faults.ts";
import { curveSchema, pairOf, pairSchema, trialSchema } from "#api/records/schemas.ts";
import type { NewTrial } from "#api/store/entries/shelf.ts";
import { idOf } from "#api/store/ledger/ledger.ts";
import type { Problem } from "#distributions/problem.ts";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import type { Band } from "#model/band/band.ts";
import { parseBand } from "#model/band/bandFile.ts";
import { type Mill, parseMill } from "#model/mill/mill.ts";
import type { Store } from "../store/store.ts";
import { changeRoute, removeRoute } from "./changeable.ts";
import {
  changeHeaders,
  documented,
  idParameter,
  json,
  numbered,
  numberedAnswer,
  occasionOf,
} from "./shared.ts";

const bandBody = z.unknown().openapi({ description: "A band, as BAND.json" });
const millBody = z.object({
  name: z.string().trim().min(1).max(200),
  mill: z.unknown().openapi({ description: "A mill, as MILL.json" }),
});
const newTrial = z.object({
  name: z.string().max(200),
  trial: trialSchema,
  curve: curveSchema.nullable().default(null),
  asideBecause: z
    .string()
    .trim()
    .min(1)
    .max(5000)
    .nullable()
    .default(null)
    .openapi({ description: "Why the trial is set aside; null while it counts" }),
});
const pairBody = pairSchema
  .extend({
    stage: z.string().min(1).max(50),
    geometricM2PerG: z.number().positive(),
    betM2PerG: z.number().positive(),
  })
  .transform(pairOf);

const list = (path: string, summary: string) =>
  createRoute({ method: "get", path, summary, responses: { 200: documented(summary, z.looseObject({})) } });

function keep<S extends z.ZodType>(path: string, summary: string, schema: S) {
  return createRoute({
    method: "post",
    path,
    summary,
    request: {
      headers: changeHeaders,
      body: { required: true, content: { "application/json": { schema } } },
    },
    responses: { 201: json("Kept", numbered) },
  });
}

/** What stands on the shelf: bands, mills with their trials, BET pairs. */
export function equipmentRoutes(app: OpenAPIHono, store: Store): void {
  bandRoutes(app, store);
  millRoutes(app, store);
  trialRoutes(app, store);
  pairRoutes(app, store);
}

function bandRoutes(app: OpenAPIHono, store: Store): void {
  const at = { path: "/api/bands", kind: "band" } as const;
  app.openapi(list(at.path, "All bands"), async () => Response.json(await store.bands()));
  app.openapi(keep(at.path, "Keep a band", bandBody), async (c) => {
    const id = idOf(await store.keepBand(bandOf(c.req.valid("json")), await occasionOf(c)));
    return c.json(await numberedAnswer(c, store, "band", id), 201);
  });
  changeRoute(app, store, { ...at, body: bandBody }, (id, band, expected, occasion) =>
    store.changeBand(id, bandOf(band), expected, occasion),
  );
  removeRoute(app, at, store.removeBand);
}

function millRoutes(app: OpenAPIHono, store: Store): void {
  const at = { path: "/api/mills", kind: "mill" } as const;
  app.openapi(list(at.path, "All mills"), async () => Response.json(await store.mills()));
  app.openapi(keep(at.path, "Keep a mill", millBody), async (c) => {
    const { name, mill } = c.req.valid("json");
    const id = idOf(await store.keepMill(name, millOf(mill), await occasionOf(c)));
    return c.json(await numberedAnswer(c, store, "mill", id), 201);
  });
  changeRoute(app, store, { ...at, body: millBody }, (id, { name, mill }, expected, occasion) =>
    store.changeMill(id, name, millOf(mill), expected, occasion),
  );
  removeRoute(app, at, store.removeMill);
}

function trialRoutes(app: OpenAPIHono, store: Store): void {
  const path = "/api/mills/{id}/trials";
  app.openapi(
    createRoute({
      method: "get",
      path,
      summary: "The trials of a mill",
      request: { params: idParameter },
      responses: { 200: documented("Trials", z.looseObject({})) },
    }),
    async (c) => Response.json(await store.trials(c.req.valid("param").id)),
  );
  app.openapi(
    createRoute({
      method: "post",
      path,
      summary: "Keep trials, all or none",
      request: {
        params: idParameter,
        headers: changeHeaders,
        body: {
          required: true,
          content: { "application/json": { schema: z.object({ trials: z.array(newTrial).min(1) }) } },
        },
      },
      responses: { 201: json("Kept", z.object({ kept: z.number() })) },
    }),
    async (c) => {
      const trials = c.req.valid("json").trials.map(trialOf);
      await store.keepTrials(c.req.valid("param").id, trials, await occasionOf(c));
      return c.json({ kept: trials.length }, 201);
    },
  );
  const at = { path: "/api/trials", kind: "trial" } as const;
  changeRoute(app, store, { ...at, body: newTrial }, (id, trial, expected, occasion) =>
    store.changeTrial(id, trialOf(trial), expected, occasion),
  );
  removeRoute(app, at, store.removeTrial);
}

function pairRoutes(app: OpenAPIHono, store: Store): void {
  const at = { path: "/api/pairs", kind: "pair" } as const;
  app.openapi(list(at.path, "All BET pairs"), async () => Response.json(await store.pairs()));
  app.openapi(keep(at.path, "Note a BET pair", pairBody), async (c) => {
    const id = idOf(await store.keepPair(c.req.valid("json"), await occasionOf(c)));
    return c.json(await numberedAnswer(c, store, "pair", id), 201);
  });
  changeRoute(app, store, { ...at, body: pairBody }, store.changePair);
  removeRoute(app, at, store.removePair);
}

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

function trialOf({ curve, ...rest }: z.infer<typeof newTrial>): NewTrial {
  return { ...rest, curve: curve === null ? null : sizeDistribution(curve) };
}

function unusable(problems: readonly Problem[]): UnusableInput {
  return new UnusableInput(problems.map((p) => p.message).join(" "));
}
