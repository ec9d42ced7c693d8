import type { OpenAPIHono } from "@hono/zod-openapi";
import { HTTPException } from "hono/http-exception";
import * as contract from "#api/contract/recordRoutes.ts";
import type { ChangeContext } from "#api/store/ledger/ledger.ts";
import type { Store } from "#api/store/store.ts";
import { occasionOf } from "./shared.ts";

interface StepAsked {
  readonly seq: number | null;
  readonly of?: "anybody" | undefined;
}

/** The change history, and the way back and forth along it. */
export function changeHistoryRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(contract.showChangeHistory, async (c) => {
    const { before, limit } = c.req.valid("query");
    const events = await store.changeHistory(before ?? null, Math.min(limit ?? 100, 1000));
    return c.json({ events, ...(await store.history((await occasionOf(c)).by)) }, 200);
  });
  app.openapi(contract.showChanges, async (c) => {
    const { id } = c.req.valid("param");
    const [found] = await store.changeHistory(id + 1, 1);
    if (found?.seq !== id) throw new HTTPException(404, { message: `There is no event ${id}.` });
    return c.json({ event: found, changes: await store.changes(id) }, 200);
  });
  const step = async (way: "undo" | "redo", asked: StepAsked, occasion: ChangeContext) => {
    const of = asked.of === "anybody" ? "" : occasion.by;
    const written = await store.step(way, asked.seq, occasion, of);
    const [done] = written.seq === null ? [] : await store.changeHistory(written.seq + 1, 1);
    return { what: done?.what ?? "", ...(await store.history(occasion.by)) };
  };
  app.openapi(contract.undo, async (c) => {
    const asked = (await c.req.text()) === "" ? { seq: null } : c.req.valid("json");
    return c.json(await step("undo", asked, await occasionOf(c)), 200);
  });
  app.openapi(contract.redo, async (c) => {
    const asked = (await c.req.text()) === "" ? { seq: null } : c.req.valid("json");
    return c.json(await step("redo", asked, await occasionOf(c)), 200);
  });
}
