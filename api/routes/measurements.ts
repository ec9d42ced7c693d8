import { createRoute, type OpenAPIHono, z } from "@hono/zod-openapi";
import { HTTPException } from "hono/http-exception";
import { readingOptionsOf } from "#api/queries/options.ts";
import {
  givenOf,
  optionsSchema,
  problemSchema,
  readRequest,
  tableSchema,
  textIn,
} from "#api/queries/requests.ts";
import { metadataSchema } from "#api/records/schemas.ts";
import { mergedMetadata } from "#distributions/measurementMetadata.ts";
import { stages } from "#model/lot/stages.ts";
import type { Store } from "../store/store.ts";
import { changeRoute } from "./changeable.ts";
import { changeHeaders, idParameter, json, numbered, occasionOf } from "./shared.ts";

const stage = z.enum(stages);
const broughtIn = z.object({
  kept: z.number(),
  problems: z.array(problemSchema).readonly(),
  outcomes: z
    .array(
      z.object({
        file: z.string().nullable(),
        measurement: z.string(),
        state: z.enum(["read", "read with notes", "needs an answer", "refused"]),
      }),
    )
    .readonly()
    .openapi({ description: "What became of each measurement of the table" }),
});

const bringIn = createRoute({
  method: "post",
  path: "/api/lots/{id}/measurements",
  summary: "Bring in a table: every measurement that can be read, none that cannot",
  request: {
    params: idParameter,
    headers: changeHeaders,
    body: {
      required: true,
      content: {
        "application/json": {
          schema: z.object({
            stage,
            file: z
              .string()
              .max(400)
              .nullable()
              .default(null)
              .transform((file) => (file === "" ? null : file)),
            text: z.string().optional(),
            base64: tableSchema.shape.base64,
            options: optionsSchema,
            howMeasured: metadataSchema.default({}).openapi({
              description: "Laid over what the table states of it; null takes a field back",
            }),
          }),
        },
      },
    },
  },
  responses: {
    201: json("What was kept, and what was said while reading", broughtIn),
    422: json("Nothing was kept: the problems say why", broughtIn),
  },
});
const changedRun = z.object({
  name: z.string().trim().min(1).max(200),
  stage,
  asideBecause: z
    .string()
    .trim()
    .min(1)
    .max(1000)
    .nullable()
    .default(null)
    .openapi({ description: "Why the run is set aside; null while it counts" }),
  howMeasured: metadataSchema
    .optional()
    .openapi({ description: "All of how it was measured; left out, it stays as it is" }),
});
const noteHow = createRoute({
  method: "post",
  path: "/api/how-measured",
  summary:
    "Note how several runs of a lot were measured, over what they state; all of them or none, and null takes a field back",
  request: {
    headers: changeHeaders,
    body: {
      required: true,
      content: {
        "application/json": {
          schema: z.object({
            runs: z
              .array(numbered)
              .min(1)
              .max(1000)
              .refine((runs) => new Set(runs.map((run) => run.id)).size === runs.length, {
                message: "each run once",
              }),
            howMeasured: metadataSchema,
          }),
        },
      },
    },
  },
  responses: {
    200: json("How many runs", z.object({ noted: z.number() })),
    412: { description: "Someone else changed one of them: `theirs` is what stands" },
  },
});

/** Measurements of a lot: brought in as tables, noted how they were measured, mended or set aside. */
export function measurementRoutes(app: OpenAPIHono, store: Store): void {
  const mustHaveLot = async (id: number) => {
    if ((await store.versionOf("lot", id)) === null)
      throw new HTTPException(404, { message: `There is no lot ${id}.` });
  };

  app.openapi(bringIn, async (c) => {
    const { id } = c.req.valid("param");
    await mustHaveLot(id);
    const { stage: at, file, text: sent, base64, options, howMeasured: told } = c.req.valid("json");
    const given = givenOf(options, "describe");
    const name = file === null ? {} : { name: file };
    const table = { ...name, ...(sent === undefined ? { base64 } : { text: sent }) };
    const { measurements, problems, outcomes = [] } = await readRequest(table, given);
    if (measurements.length === 0) return c.json({ kept: 0, problems, outcomes }, 422);
    const reading = readingOptionsOf(given);
    const bytes = sent === undefined ? Buffer.from(base64 ?? "", "base64") : Buffer.from(sent);
    const text = sent ?? (await textIn(bytes, reading));
    if (typeof text !== "string") return c.json({ kept: 0, problems: [text], outcomes }, 422);
    const received = { file, text, bytes, options: reading };
    const stated = measurements.map((one) => mergedMetadata(one, told));
    await store.keepMeasurements(id, at, stated, received, await occasionOf(c));
    return c.json({ kept: measurements.length, problems, outcomes }, 201);
  });

  app.openapi(noteHow, async (c) => {
    const { runs, howMeasured: told } = c.req.valid("json");
    await store.noteHowMeasured(runs, told, await occasionOf(c));
    return c.json({ noted: runs.length }, 200);
  });

  changeRoute(
    app,
    store,
    { path: "/api/measurements", kind: "measurement", body: changedRun },
    store.changeMeasurement,
  );
}
