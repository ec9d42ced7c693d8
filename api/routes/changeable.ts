import { createRoute, type OpenAPIHono, type z } from "@hono/zod-openapi";
import type { EntryKind } from "#api/records/records.ts";
import type { Occasion, Written } from "#api/store/ledger/ledger.ts";
import type { Store } from "../store/store.ts";
import {
  changeHeaders,
  expectedOf,
  idParameter,
  json,
  numbered,
  numberedAnswer,
  occasionOf,
} from "./shared.ts";

/** PUT on one entry: the whole of it, held against the version it was made from. */
export function changeRoute<S extends z.ZodType>(
  app: OpenAPIHono,
  store: Store,
  what: { readonly path: string; readonly kind: EntryKind; readonly body: S },
  change: (id: number, body: z.output<S>, expected: number | null, occasion: Occasion) => Promise<Written>,
): void {
  const { path, kind, body } = what;
  const route = createRoute({
    method: "put",
    path: `${path}/{id}`,
    summary: `Change a ${kind}`,
    request: {
      params: idParameter,
      headers: changeHeaders,
      body: { required: true, content: { "application/json": { schema: body } } },
    },
    responses: {
      200: json("Changed", numbered),
      412: { description: "Someone else changed it: `theirs` is what stands" },
    },
  });
  app.openapi(route, async (c) => {
    const id = Number(c.req.param("id"));
    await change(id, body.parse(await c.req.json()), expectedOf(c), await occasionOf(c));
    return c.json(await numberedAnswer(c, store, kind, id), 200);
  });
}

/** DELETE on one entry; undo brings it back. */
export function removeRoute(
  app: OpenAPIHono,
  what: { readonly path: string; readonly kind: EntryKind },
  remove: (id: number, expected: number | null, occasion: Occasion) => Promise<Written>,
): void {
  const route = createRoute({
    method: "delete",
    path: `${what.path}/{id}`,
    summary: `Delete a ${what.kind} and what belongs to it; undo brings it back`,
    request: { params: idParameter, headers: changeHeaders },
    responses: {
      204: { description: "Deleted" },
      412: { description: "Someone else changed it: `theirs` is what stands" },
    },
  });
  app.openapi(route, async (c) => {
    await remove(c.req.valid("param").id, expectedOf(c), await occasionOf(c));
    return c.body(null, 204);
  });
}
