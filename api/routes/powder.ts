import { type OpenAPIHono, z } from "@hono/zod-openapi";
import { askBand } from "#api/queries/bands.ts";
import { askAirClassification, askBlend } from "#api/queries/blends.ts";
import { askAgainst, askHistory } from "#api/queries/comparing.ts";
import { givenOf, optionsSchema, readRequest, tableSchema } from "#api/queries/requests.ts";
import { askStages } from "#api/queries/stages.ts";
import { readHistory } from "#distributions/tables/reading/readHistory.ts";
import { parseBand } from "#model/band/bandFile.ts";
import { question } from "./answers.ts";

/** Questions about several powders together. Nothing is kept. */
export function powderRoutes(app: OpenAPIHono): void {
  app.openapi(
    question(
      "stages",
      "What each step of the process did",
      z.object({ stages: z.array(tableSchema).min(2).max(12), options: optionsSchema }),
    ),
    async (c) => {
      const { stages, options } = c.req.valid("json");
      const given = givenOf(options, "stages");
      const tables = await Promise.all(
        stages.map(async (table) => ({ ...(await readRequest(table, given)), file: table.name ?? null })),
      );
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
    async (c) => {
      const { options, ...table } = c.req.valid("json");
      const given = givenOf(options, "band");
      return Response.json(askBand(await readRequest(table, given), given));
    },
  );

  app.openapi(
    question(
      "blend",
      "The best mix of two to four lots for a band",
      z.object({ lots: z.array(tableSchema).min(2).max(4), band: z.unknown(), options: optionsSchema }),
    ),
    async (c) => {
      const { lots, band: value, options } = c.req.valid("json");
      const given = givenOf(options, "blend");
      const { band, problems } = parseBand(value, null);
      if (band === null) return Response.json({ shares: [], problems }, { status: 422 });
      const tables = await Promise.all(
        lots.map(async (table, i) => ({
          ...(await readRequest(table, given)),
          name: table.name ?? `lot ${i + 1}`,
        })),
      );
      const answer = askBlend(tables, band);
      return Response.json(answer, { status: answer.isIn === null ? 422 : 200 });
    },
  );

  app.openapi(
    question(
      "scalp",
      "A lot without its fines or its coarse end",
      tableSchema.extend({ band: z.unknown().optional(), options: optionsSchema }),
    ),
    async (c) => {
      const { options, band: value, ...table } = c.req.valid("json");
      const given = givenOf(options, "scalp");
      const read = value === undefined ? { band: undefined, problems: [] } : parseBand(value, null);
      if (read.band === null) return Response.json({ kept: null, problems: read.problems }, { status: 422 });
      const answer = askAirClassification(await readRequest(table, given), read.band, given);
      return Response.json(answer, { status: answer.kept === null ? 422 : 200 });
    },
  );

  app.openapi(
    question(
      "against",
      "Powders against a reference, the nearest first",
      z.object({ powders: z.array(tableSchema).min(2).max(20), options: optionsSchema }),
    ),
    async (c) => {
      const { powders, options } = c.req.valid("json");
      const given = givenOf(options, "against");
      const tables = await Promise.all(
        powders.map(async (table, i) => ({
          ...(await readRequest(table, given)),
          name: table.name ?? `powder ${i + 1}`,
        })),
      );
      const answer = askAgainst(tables);
      return Response.json(answer, { status: answer.others.length > 0 ? 200 : 422 });
    },
  );

  app.openapi(
    question(
      "history",
      "Results over lots with limits, and what settings go with them",
      z.object({ text: z.string(), name: z.string().optional(), options: optionsSchema }),
    ),
    async (c) => {
      const { text, name, options } = c.req.valid("json");
      const answer = askHistory(readHistory(text, name ?? null), givenOf(options, "history"));
      return Response.json(answer, { status: answer.charts.length > 0 ? 200 : 422 });
    },
  );
}
