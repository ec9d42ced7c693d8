import { createRoute, type OpenAPIHono, z } from "@hono/zod-openapi";
import { HTTPException } from "hono/http-exception";
import { savedReport } from "#api/store/savedReport.ts";
import type { Store } from "#api/store/store.ts";
import { reportLevels } from "#model/answers/report/reportLevels.ts";
import { stages } from "#model/lot/stages.ts";
import { idParameter } from "./shared.ts";

const showSheet = createRoute({
  method: "get",
  path: "/api/lots/{id}/sheet",
  summary: "One sheet about a stage of a lot, as a page that prints",
  request: {
    params: idParameter,
    query: z.object({ stage: z.enum(stages).optional(), report: z.enum(reportLevels).optional() }),
  },
  responses: { 200: { description: "The sheet", content: { "text/html": { schema: z.string() } } } },
});

export function reportRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(showSheet, async (c) => {
    const { id } = c.req.valid("param");
    const { stage, report = "full" } = c.req.valid("query");
    const made = await savedReport(store, id, { stage, report });
    if (made === null) throw new HTTPException(404, { message: `There is no lot ${id}.` });
    return c.html(made.html, 200);
  });
}
