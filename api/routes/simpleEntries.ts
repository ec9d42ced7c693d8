import type { OpenAPIHono } from "@hono/zod-openapi";
import { simpleRoutes } from "#api/contract/simpleEntries.ts";
import { idOf } from "#api/store/ledger/ledger.ts";
import type { Store } from "../store/store.ts";
import { expectedOf, numberedAnswer, occasionOf } from "./shared.ts";

/** The kinds of entries that say in their own file how they are reached: listed, kept, changed and deleted. */
export function simpleEntryRoutes(app: OpenAPIHono, store: Store): void {
  for (const { kind, list, made, ...routes } of simpleRoutes()) {
    app.openapi(routes.listRoute, async (c) => {
      const { entries, damaged } = await store.entries(kind);
      return c.json({ [list]: entries, damaged }, 200);
    });
    app.openapi(routes.keepRoute, async (c) => {
      const id = idOf(await store.keepEntry(kind, c.req.valid("json"), await occasionOf(c), made));
      return c.json(await numberedAnswer(c, store, kind, id), 201);
    });
    app.openapi(routes.changeRoute, async (c) => {
      const { id } = c.req.valid("param");
      await store.changeEntry({ kind, id }, c.req.valid("json"), expectedOf(c), await occasionOf(c));
      return c.json(await numberedAnswer(c, store, kind, id), 200);
    });
    app.openapi(routes.removeRoute, async (c) => {
      await store.removeEntry(kind, c.req.valid("param").id, expectedOf(c), await occasionOf(c));
      return c.body(null, 204);
    });
  }
}
