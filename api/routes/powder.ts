import { type OpenAPIHono, z } from "@hono/zod-openapi";
import { askBand } from "../asking/bands.ts";
import { givenOf, optionsSchema, readRequest, tableSchema } from "../asking/requests.ts";
import { askStages } from "../asking/stages.ts";
import { question } from "./answers.ts";

/** Questions about several powders together. Nothing is kept. */
export function powderRoutes(app: OpenAPIHono): void {
  app.openapi(
    question(
      "stages",
      "What each step of the process did",
      z.object({ stages: z.array(tableSchema).min(2).max(12), options: optionsSchema }),
    ),
    (c) => {
      const { stages, options } = c.req.valid("json");
      const given = givenOf(options, "stages");
      const tables = stages.map((table) => ({ ...readRequest(table, given), file: table.name ?? null }));
      const answer = askStages(tables, given);
      return Response.json(answer, { status: answer.steps.length > 0 ? 200 : 422 });
    },
  );

  app.openapi(
    question(
      "band",
      "A target band about a reference's runs",
      tableSchema.extend({ options: optionsSchema }),
    ),
    (c) => {
      const { options, ...table } = c.req.valid("json");
      const given = givenOf(options, "band");
      return Response.json(askBand(readRequest(table, given), given));
    },
  );
}
