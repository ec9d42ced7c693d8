import type { OpenAPIHono } from "@hono/zod-openapi";
import { HTTPException } from "hono/http-exception";
import * as contract from "#api/contract/cardRoutes.ts";
import { idsIn } from "#api/contract/shapes.ts";
import { UnusableInput } from "#api/faults.ts";
import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import { idOf } from "#api/store/ledger/ledger.ts";
import { savedCheck } from "#api/store/savedCheck.ts";
import { savedLabels } from "#api/store/savedLabels.ts";
import { atMostSheets, madeIn, savedReport, savedReports } from "#api/store/savedReport.ts";
import type { Store } from "../store/store.ts";
import { expectedOf, numberedAnswer, occasionOf } from "./shared.ts";

export function cardRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(contract.showCard, async (c) => c.json(await store.card(c.req.valid("param").id), 200));

  app.openapi(contract.keepStage, async (c) => {
    const { id, stage: of } = c.req.valid("param");
    await store.keepStage({ lotId: id, stage: of }, c.req.valid("json"), expectedOf(c), await occasionOf(c));
    return c.json({ lotId: id, stage: of }, 200);
  });

  app.openapi(contract.keepResult, async (c) => {
    const { id } = c.req.valid("param");
    const made = idOf(await store.keepResult(id, c.req.valid("json"), await occasionOf(c)));
    return c.json(await numberedAnswer(c, store, "result", made), 201);
  });
  app.openapi(contract.changeResult, async (c) => {
    const { id } = c.req.valid("param");
    await store.changeResult(id, c.req.valid("json"), expectedOf(c), await occasionOf(c));
    return c.json(await numberedAnswer(c, store, "result", id), 200);
  });
  app.openapi(contract.removeResult, async (c) => {
    await store.removeResult(c.req.valid("param").id, expectedOf(c), await occasionOf(c));
    return c.body(null, 204);
  });

  app.openapi(contract.release, async (c) => {
    const { id } = c.req.valid("param");
    const made = idOf(await store.release(id, c.req.valid("json"), await occasionOf(c)));
    return c.json(await numberedAnswer(c, store, "frozen", made), 201);
  });
  app.openapi(contract.showReleasedReport, async (c) => {
    const sheet = await store.releasedReport(c.req.valid("param").id);
    if (sheet === null) throw new HTTPException(404, { message: "This release record has no sheet." });
    c.header("etag", `"${sheet.sha256}"`);
    return c.html(sheet.html, 200);
  });
  app.openapi(contract.showRelease, async (c) => {
    const { id } = c.req.valid("param");
    const found = await store.releaseRecord(id);
    if (found === null) throw new HTTPException(404, { message: `There is no release record ${id}.` });
    return c.json(found, 200);
  });
  app.openapi(contract.checkLot, async (c) => {
    const { id } = c.req.valid("param");
    const { stage = null, bandId, rule, samplingCv, opticalCv, densityCv } = c.req.valid("query");
    const bands = bandId === undefined ? [] : (await store.entries("band")).entries;
    const band = bands.find((one) => one.id === bandId) ?? null;
    if (bandId !== undefined && band === null)
      throw new HTTPException(422, { message: `There is no band ${bandId}.` });
    const given = withoutUndefined({
      rule,
      "sampling-cv": samplingCv?.toString(),
      "optical-cv": opticalCv?.toString(),
      "density-cv": densityCv?.toString(),
    });
    const answer = await savedCheck(store, id, { stage, band, checks: null, given, problems: [] });
    if (answer === null) throw new HTTPException(404, { message: `There is no lot ${id}.` });
    return c.json(answer, 200);
  });
  app.openapi(contract.showLabels, async (c) => {
    const { ids, stage } = c.req.valid("query");
    return c.html((await savedLabels(store, idsIn(ids), stage)).html, 200);
  });
  app.openapi(contract.showReports, async (c) => {
    const { ids, month, stage, report = "full", ...parties } = c.req.valid("query");
    if ((ids === undefined) === (month === undefined))
      throw new UnusableInput("Give either ids or a month.", "both or neither", "ids=1,2 or month=2026-03");
    const { lots } = await store.lots();
    const wanted = ids === undefined ? null : new Set(idsIn(ids));
    const named = wanted === null ? madeIn(lots, month ?? "") : lots.filter(({ id }) => wanted.has(id));
    if (named.length === 0) throw new HTTPException(404, { message: "There are no such lots." });
    const made = await savedReports(store, atMostSheets(named), {
      stage,
      report,
      parties: withoutUndefined(parties),
    });
    return c.html(made.html, 200);
  });
  app.openapi(contract.showReport, async (c) => {
    const { id } = c.req.valid("param");
    const { stage, report = "full", ...parties } = c.req.valid("query");
    const made = await savedReport(store, id, { stage, report, parties: withoutUndefined(parties) });
    if (made === null) throw new HTTPException(404, { message: `There is no lot ${id}.` });
    return c.html(made.html, 200);
  });
}
