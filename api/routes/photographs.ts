import type { OpenAPIHono } from "@hono/zod-openapi";
import { HTTPException } from "hono/http-exception";
import * as contract from "#api/contract/photographRoutes.ts";
import { idOf } from "#api/store/ledger/ledger.ts";
import type { Store } from "../store/store.ts";
import { expectedOf, numberedAnswer, occasionOf } from "./shared.ts";

const largestMB = 8;

/** Photographs of stages: their bytes are taken and given as they are, and run nothing wherever they are shown. */
export function photographRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(contract.keepPhotograph, async (c) => {
    const { stage, name } = c.req.valid("query");
    const bytes = new Uint8Array(await c.req.arrayBuffer());
    if (bytes.length > largestMB * 1024 * 1024)
      throw new HTTPException(413, {
        message: `A photograph may be at most ${largestMB} MB: save it smaller; JPEG takes less than PNG.`,
      });
    const of = { lotId: c.req.valid("param").id, stage };
    const id = idOf(await store.keepPhotograph(of, { name, bytes }, await occasionOf(c)));
    return c.json(await numberedAnswer(c, store, "photograph", id), 201);
  });
  app.openapi(contract.showPhotograph, async (c) => {
    const found = await store.photograph(c.req.valid("param").id);
    if (found === null) throw new HTTPException(404, { message: "There is no such photograph." });
    return c.body(found.bytes, 200, { "content-type": found.type, "content-disposition": "inline" });
  });
  app.openapi(contract.changePhotograph, async (c) => {
    const { id } = c.req.valid("param");
    await store.changePhotograph(id, c.req.valid("json"), expectedOf(c), await occasionOf(c));
    return c.json(await numberedAnswer(c, store, "photograph", id), 200);
  });
  app.openapi(contract.removePhotograph, async (c) => {
    const { id } = c.req.valid("param");
    await store.removeEntry("photograph", id, expectedOf(c), await occasionOf(c));
    return c.body(null, 204);
  });
}
