import { createRoute, type OpenAPIHono, z } from "@hono/zod-openapi";
import { lotHistory } from "#model/answers/factors/lotHistory.ts";
import { stages } from "#model/lot/stages.ts";
import type { Store } from "../store/store.ts";
import { documented } from "./shared.ts";

const mostLots = 200;

const showHistory = createRoute({
  method: "get",
  path: "/api/lot-history",
  summary:
    "Sizes, settings and other results of the latest lots with runs of a stage, in the order they were made",
  request: {
    query: z.object({
      stage: z.enum(stages).default("re-fired"),
      "below-um": z.coerce.number().positive().max(1e5).default(1),
      limit: z.coerce.number().int().min(1).max(mostLots).default(mostLots),
    }),
  },
  responses: { 200: documented("The history", z.looseObject({})) },
});

export function historyRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(showHistory, async (c) => {
    const { stage, "below-um": belowUm, limit } = c.req.valid("query");
    const { records, damaged } = await store.lotRecords(stage, limit);
    return Response.json({ ...lotHistory(records, { stage, belowUm }), damaged });
  });
}
