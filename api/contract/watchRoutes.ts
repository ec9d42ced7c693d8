import { createRoute, z } from "@hono/zod-openapi";
import { listOf } from "#api/records/fields.ts";
import { json, refused } from "./shapes.ts";

export const showWatch = createRoute({
  method: "get",
  path: "/api/watch",
  operationId: "showWatch",
  summary: "The watched folder: how many of its files are saved, and which wait with which question",
  responses: {
    200: json(
      "The folder; null where none is watched",
      z.object({
        folder: z.string().nullable(),
        fault: z.string().nullable().openapi({ description: "Why it cannot be looked at just now" }),
        saved: z.number(),
        beingWritten: z.number(),
        waiting: listOf(z.object({ file: z.string(), question: z.string() })),
      }),
    ),
  },
});

export const showWatchedFile = createRoute({
  method: "get",
  path: "/api/watch/file",
  operationId: "showWatchedFile",
  summary: "A file that waits in the watched folder, as base64",
  request: { query: z.object({ file: z.string().max(1000).openapi({ example: "lot 7.csv" }) }) },
  responses: {
    200: json("Its bytes", z.object({ file: z.string(), base64: z.string() })),
    ...refused(404, 422),
  },
});
