import type { OpenAPIHono } from "@hono/zod-openapi";
import * as contract from "#api/contract/labTableRoutes.ts";
import { readingOptionsOf } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import { type FileRead, readReceived } from "#api/intake/filing.ts";
import { takeLabTable } from "#api/intake/labTables.ts";
import { givenOf } from "#api/queries/requests.ts";
import { labTableText } from "#model/intake/labTableText.ts";
import type { Store } from "../store/store.ts";
import { occasionOf } from "./shared.ts";

/** Tables of the lab's own: settings, results, days and masses of many lots, in and out. */
export function labTableRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(contract.takeTable, async (c) => {
    const { stage, material, columns, densityGPerCm3, beside, save, ...given } = c.req.valid("json");
    const reads: FileRead[] = [];
    for (const one of beside)
      reads.push(
        await readReceived({
          file: one.file,
          bytes: bytesOf(one),
          options: readingOptionsOf(givenOf(one.options, "describe")),
        }),
      );
    const received = {
      file: given.file,
      bytes: bytesOf(given),
      said: { stage, material, columns },
      densityGPerCm3,
      beside: reads,
    };
    return c.json(await takeLabTable(store, received, save ? await occasionOf(c) : null), 200);
  });

  app.openapi(contract.copyTable, async (c) => {
    const lots = await store.notedLots(c.req.valid("query").material ?? null);
    return c.json({ text: labTableText(lots), lots: lots.length }, 200);
  });
}

function bytesOf(given: {
  readonly text?: string | undefined;
  readonly base64?: string | undefined;
}): Uint8Array {
  if (given.text === undefined && given.base64 === undefined)
    throw new UnusableInput(
      "Give each table as text, or as base64 of the file.",
      "neither text nor base64",
      "text or base64",
    );
  return given.text === undefined ? Buffer.from(given.base64 ?? "", "base64") : Buffer.from(given.text);
}
