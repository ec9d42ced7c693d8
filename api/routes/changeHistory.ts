import { createRoute, type OpenAPIHono, z } from "@hono/zod-openapi";
import { HTTPException } from "hono/http-exception";
import type { Store } from "#api/store/store.ts";
import { changeHeaders, documented, idParameter, occasionOf } from "./shared.ts";

const event = z
  .object({
    seq: z.number(),
    at: z.string(),
    kind: z.enum(["start", "change", "undo", "redo"]),
    what: z.string(),
    by: z.string(),
    why: z.string(),
    of: z.number().nullable(),
    standing: z.enum(["done", "undone", "passed"]),
  })
  .openapi("Event");
const change = z.object({ kind: z.string(), id: z.number(), before: z.unknown(), after: z.unknown() });
const history = { undo: event.nullable(), redo: event.nullable() };
const wholeNumber = z
  .string()
  .regex(/^\d{1,9}$/)
  .transform(Number);

const showTrail = createRoute({
  method: "get",
  path: "/api/trail",
  summary: "What happened, from the latest back, and what undo and redo would do next",
  request: {
    query: z.object({
      before: wholeNumber.optional().openapi({ type: "integer", description: "Only earlier events" }),
      limit: wholeNumber
        .optional()
        .openapi({ type: "integer", description: "At most this many, 100 if not said" }),
    }),
  },
  responses: { 200: documented("Events", z.object({ events: z.array(event), ...history })) },
});
const showEvent = createRoute({
  method: "get",
  path: "/api/trail/{id}",
  summary: "What one event changed: each entry before and after",
  request: { params: idParameter },
  responses: { 200: documented("The event", z.object({ event, changes: z.array(change) })) },
});

/** The trail, and the way back and forth along it. */
export function changeHistoryRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(showTrail, async (c) => {
    const { before, limit } = c.req.valid("query");
    const events = await store.trail(before ?? null, Math.min(limit ?? 100, 1000));
    return Response.json({ events, ...(await store.history()) });
  });
  app.openapi(showEvent, async (c) => {
    const { id } = c.req.valid("param");
    const [found] = await store.trail(id + 1, 1);
    if (found?.seq !== id) throw new HTTPException(404, { message: `There is no event ${id}.` });
    return Response.json({ event: found, changes: await store.changes(id) });
  });
  for (const way of ["undo", "redo"] as const) {
    const route = createRoute({
      method: "post",
      path: `/api/${way}`,
      summary: way === "undo" ? "Take the last change back" : "Bring what was taken back into effect again",
      request: {
        headers: changeHeaders,
        body: {
          required: false,
          content: {
            "application/json": {
              schema: z.object({
                seq: z
                  .number()
                  .int()
                  .nullable()
                  .default(null)
                  .openapi({ description: "The change meant; refused when another is next" }),
              }),
            },
          },
        },
      },
      responses: {
        200: documented("What is next now", z.object({ what: z.string(), ...history })),
        409: { description: "There is nothing to do, or something else happened since" },
      },
    });
    app.openapi(route, async (c) => {
      const text = await c.req.text();
      const seq = text === "" ? null : c.req.valid("json").seq;
      const written = await store.step(way, seq ?? null, await occasionOf(c));
      const [done] = written.seq === null ? [] : await store.trail(written.seq + 1, 1);
      return Response.json({ what: done?.what ?? "", ...(await store.history()) });
    });
  }
}
