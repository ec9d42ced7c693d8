import type { OpenAPIHono } from "@hono/zod-openapi";
import * as contract from "#api/contract/equipmentRoutes.ts";
import { UnusableInput } from "#api/faults.ts";
import { bandSent } from "#api/queries/bandSent.ts";
import { idOf } from "#api/store/ledger/ledger.ts";
import type { Problem } from "#distributions/problem.ts";
import type { Band } from "#model/band/band.ts";
import { type Mill, parseMill } from "#model/mill/mill.ts";
import type { Store } from "../store/store.ts";
import { expectedOf, numberedAnswer, occasionOf } from "./shared.ts";

/** Bands, mills with their trials and priors, and batches. */
export function equipmentRoutes(app: OpenAPIHono, store: Store): void {
  bandRoutes(app, store);
  millRoutes(app, store);
  trialRoutes(app, store);
  priorsRoutes(app, store);
}

function bandRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(contract.listBands, async (c) => c.json(await store.bands(), 200));
  app.openapi(contract.keepBand, async (c) => {
    const id = idOf(await store.keepBand(bandOf(c.req.valid("json")), await occasionOf(c)));
    return c.json(await numberedAnswer(c, store, "band", id), 201);
  });
  app.openapi(contract.changeBand, async (c) => {
    const { id } = c.req.valid("param");
    await store.changeBand(id, bandOf(c.req.valid("json")), expectedOf(c), await occasionOf(c));
    return c.json(await numberedAnswer(c, store, "band", id), 200);
  });
  app.openapi(contract.removeBand, async (c) => {
    await store.removeBand(c.req.valid("param").id, expectedOf(c), await occasionOf(c));
    return c.body(null, 204);
  });
}

function millRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(contract.listMills, async (c) => c.json(await store.mills(), 200));
  app.openapi(contract.keepMill, async (c) => {
    const { name, mill } = c.req.valid("json");
    const id = idOf(await store.keepMill({ name, mill: millOf(mill) }, await occasionOf(c)));
    return c.json(await numberedAnswer(c, store, "mill", id), 201);
  });
  app.openapi(contract.changeMill, async (c) => {
    const { id } = c.req.valid("param");
    const { name, mill } = c.req.valid("json");
    await store.changeMill(id, { name, mill: millOf(mill) }, expectedOf(c), await occasionOf(c));
    return c.json(await numberedAnswer(c, store, "mill", id), 200);
  });
  app.openapi(contract.removeMill, async (c) => {
    await store.removeMill(c.req.valid("param").id, expectedOf(c), await occasionOf(c));
    return c.body(null, 204);
  });
}

function trialRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(contract.listTrials, async (c) => c.json(await store.trials(c.req.valid("param").id), 200));
  app.openapi(contract.keepTrials, async (c) => {
    const { trials } = c.req.valid("json");
    await store.keepTrials(c.req.valid("param").id, trials, await occasionOf(c));
    return c.json({ kept: trials.length }, 201);
  });
  app.openapi(contract.changeTrial, async (c) => {
    const { id } = c.req.valid("param");
    await store.changeTrial(id, c.req.valid("json"), expectedOf(c), await occasionOf(c));
    return c.json(await numberedAnswer(c, store, "trial", id), 200);
  });
  app.openapi(contract.removeTrial, async (c) => {
    await store.removeTrial(c.req.valid("param").id, expectedOf(c), await occasionOf(c));
    return c.body(null, 204);
  });
}

function priorsRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(contract.listPriors, async (c) => c.json(await store.savedPriors(), 200));
  app.openapi(contract.keepPriors, async (c) => {
    const { id } = c.req.valid("param");
    await store.keepPriors(
      { millId: id, materialId: null },
      c.req.valid("json"),
      expectedOf(c),
      await occasionOf(c),
    );
    return c.json({ millId: id }, 200);
  });
  app.openapi(contract.keepKnown, async (c) => {
    const { id, materialId } = c.req.valid("param");
    const of = { millId: id, materialId };
    await store.keepPriors(of, c.req.valid("json"), expectedOf(c), await occasionOf(c));
    return c.json(of, 200);
  });
  app.openapi(contract.listBatches, async (c) => c.json(await store.batches(), 200));
  app.openapi(contract.keepBatch, async (c) => {
    const { id, stage } = c.req.valid("param");
    await store.keepBatch({ lotId: id, stage }, c.req.valid("json"), expectedOf(c), await occasionOf(c));
    return c.json({ lotId: id, stage }, 200);
  });
}

function bandOf(value: unknown): Band {
  const { band, problems } = bandSent(value);
  if (band === null) throw unusable(problems);
  return band;
}

function millOf(value: unknown): Mill {
  const { mill, problems } = parseMill(value, null);
  if (mill === null) throw unusable(problems);
  return mill;
}

function unusable(problems: readonly Problem[]): UnusableInput {
  return new UnusableInput(problems.map((p) => p.message).join(" "));
}
