import type { OpenAPIHono } from "@hono/zod-openapi";
import { HTTPException } from "hono/http-exception";
import * as learned from "#api/contract/groundRoutes.ts";
import * as contract from "#api/contract/lotRoutes.ts";
import { idsIn } from "#api/contract/shapes.ts";
import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import { idOf } from "#api/store/ledger/ledger.ts";
import { lotHistory } from "#model/answers/factors/lotHistory.ts";
import type { Store } from "../store/store.ts";
import { expectedOf, nextLink, numberedAnswer, occasionOf } from "./shared.ts";

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

  app.openapi(contract.listLots, async (c) => {
    const { materialId, ...asked } = c.req.valid("query");
    const named = materialId === undefined ? {} : { material: (await store.material(materialId)).name };
    const answer = await store.lots({ ...withoutUndefined(asked), ...named });
    if (answer.next !== null) c.header("link", nextLink(c.req.url, { cursor: answer.next }, ["offset"]));
    return c.json(answer, 200);
  });

  app.openapi(contract.showSummaries, async (c) => {
    const { id } = c.req.valid("param");
    if ((await store.versionOf("lot", id)) === null)
      throw new HTTPException(404, { message: `There is no lot ${id}.` });
    return c.json({ summaries: await store.summaries(id) }, 200);
  });

  app.openapi(contract.keepLot, async (c) => {
    const lot = c.req.valid("json");
    await holdAgainst(lot.bandId);
    const answer = await found(idOf(await store.keepLot(lot, await occasionOf(c))));
    c.header("etag", `"${answer.lot.version}"`);
    return c.json(answer, 201);
  });

  app.openapi(contract.showLot, async (c) => {
    const answer = await found(c.req.valid("param").id);
    c.header("etag", `"${answer.lot.version}"`);
    // The version is the lot's alone: runs come and change without it, so no cache may take it for all of this.
    c.header("cache-control", "no-store");
    return c.json(answer, 200);
  });

  app.openapi(contract.showWholeLots, async (c) => {
    const { ids } = c.req.valid("query");
    c.header("cache-control", "no-store");
    return c.json(await store.wholeLots(idsIn(ids)), 200);
  });

  app.openapi(contract.changeLot, async (c) => {
    const { id } = c.req.valid("param");
    const lot = c.req.valid("json");
    await holdAgainst(lot.bandId);
    await store.changeLot(id, lot, expectedOf(c), await occasionOf(c));
    return c.json(await numberedAnswer(c, store, "lot", id), 200);
  });
  app.openapi(contract.setState, async (c) => {
    const { id } = c.req.valid("param");
    await store.setState(id, c.req.valid("json"), expectedOf(c), await occasionOf(c));
    return c.json(await numberedAnswer(c, store, "lot", id), 200);
  });
  app.openapi(contract.reworkLot, async (c) => {
    const { id } = c.req.valid("param");
    const made = await store.reworkLot(id, c.req.valid("json"), expectedOf(c), await occasionOf(c));
    return c.json(await found(idOf(made)), 201);
  });
  app.openapi(contract.removeLot, async (c) => {
    await store.removeLot(c.req.valid("param").id, expectedOf(c), await occasionOf(c));
    return c.body(null, 204);
  });
  app.openapi(learned.showLotHistory, async (c) => {
    const { stage: at, "below-um": belowUm, limit, material } = c.req.valid("query");
    const asked = { stage: at, limit, material: material ?? null };
    const { records, stage, ground, damaged } = await store.lotRecords(asked);
    const said = ground === null ? {} : { ground };
    return c.json({ ...lotHistory(records, { stage, belowUm }), ...said, damaged }, 200);
  });
  app.openapi(learned.showCalibration, async (c) => {
    const { stage, borrowFrom } = c.req.valid("query");
    const { id } = c.req.valid("param");
    const { lot } = await found(id);
    const material = borrowFrom ?? lot.material;
    const { ground, pairs } = await store.calibration({ material, stage, exceptLotId: id });
    return c.json({ ground: ground.sentence, pairs }, 200);
  });
  app.openapi(learned.showGround, async (c) => {
    const { stage, borrowFrom, withItself } = c.req.valid("query");
    const asked = { stage, borrowFrom, withItself: withItself === "true" };
    const ground = await store.ground(c.req.valid("param").id, asked);
    if (ground === null) throw new HTTPException(404, { message: "There is no such lot." });
    const { material, sentence, independent, leftOut } = ground;
    const lots = ground.lots.map(({ id, name, version }) => ({ id, name, version }));
    return c.json({ material, sentence, lots, independent, leftOut }, 200);
  });
}
