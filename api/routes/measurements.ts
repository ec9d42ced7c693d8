import type { OpenAPIHono } from "@hono/zod-openapi";
import { HTTPException } from "hono/http-exception";
import * as contract from "#api/contract/measurementRoutes.ts";
import { readingOptionsOf } from "#api/contract/options.ts";
import { givenOf, readRequest, textIn } from "#api/queries/requests.ts";
import { mergedMetadata } from "#distributions/measurementMetadata.ts";
import type { Store } from "../store/store.ts";
import { expectedOf, numberedAnswer, occasionOf } from "./shared.ts";

/** Measurements of a lot: brought in as tables, noted how they were measured, mended or set aside. */
export function measurementRoutes(app: OpenAPIHono, store: Store): void {
  const mustHaveLot = async (id: number) => {
    if ((await store.versionOf("lot", id)) === null)
      throw new HTTPException(404, { message: `There is no lot ${id}.` });
  };

  app.openapi(contract.importTable, async (c) => {
    const { id } = c.req.valid("param");
    await mustHaveLot(id);
    const {
      stage: at,
      file,
      text: sent,
      base64,
      options,
      howMeasured: entered,
      portion,
    } = c.req.valid("json");
    const given = givenOf(options, "describe");
    const name = file === null ? {} : { name: file };
    const table = { ...name, ...(sent === undefined ? { base64 } : { text: sent }) };
    const { measurements, problems, outcomes = [] } = await readRequest(table, given);
    if (measurements.length === 0) return c.json({ kept: 0, problems, outcomes }, 422);
    const reading = readingOptionsOf(given);
    const bytes = sent === undefined ? Buffer.from(base64 ?? "", "base64") : Buffer.from(sent);
    const text = sent ?? (await textIn(bytes, reading));
    if (typeof text !== "string") return c.json({ kept: 0, problems: [text], outcomes }, 422);
    const received = { file, text, bytes, options: reading, portion };
    const stated = measurements.map((one) => mergedMetadata(one, entered));
    await store.keepMeasurements({ lotId: id, stage: at }, stated, received, await occasionOf(c));
    return c.json({ kept: measurements.length, problems, outcomes }, 201);
  });

  app.openapi(contract.noteHowMeasured, async (c) => {
    const { runs, ...entered } = c.req.valid("json");
    await store.noteHowMeasured(runs, entered, await occasionOf(c));
    return c.json({ noted: runs.length }, 200);
  });

  app.openapi(contract.changeMeasurement, async (c) => {
    const { id } = c.req.valid("param");
    await store.changeMeasurement(id, c.req.valid("json"), expectedOf(c), await occasionOf(c));
    return c.json(await numberedAnswer(c, store, "measurement", id), 200);
  });
}
