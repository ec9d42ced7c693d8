import type { OpenAPIHono } from "@hono/zod-openapi";
import * as contract from "#api/contract/intakeRoutes.ts";
import { readingOptionsOf } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import { filedTable, isFiled, readReceived } from "#api/intake/filing.ts";
import { givenOf } from "#api/queries/requests.ts";
import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import type { FiledTable } from "#api/store/entries/intake.ts";
import type { Problem } from "#distributions/problem.ts";
import type { Store } from "../store/store.ts";
import { occasionOf } from "./shared.ts";

/** Many files at once: where their measurements go, and saving them as one change. */
export function intakeRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(contract.placeRuns, async (c) => {
    const { runs, pattern } = c.req.valid("json");
    const asked = runs.map(({ said = {}, ...run }) => ({ ...run, said: withoutUndefined(said) }));
    return c.json({ places: await store.places(asked, pattern) }, 200);
  });

  app.openapi(contract.importMany, async (c) => {
    const { lots, tables: sent } = c.req.valid("json");
    const tables: FiledTable[] = [];
    const problems: Problem[] = [];
    for (const { file, text, base64, options, howMeasured, runs } of sent) {
      if (text === undefined && base64 === undefined)
        throw new UnusableInput(
          `Give ${file ?? "each table"} as text, or as base64 of the file.`,
          "neither text nor base64",
          "text or base64",
        );
      const read = await readReceived({
        file,
        bytes: text === undefined ? Buffer.from(base64 ?? "", "base64") : Buffer.from(text),
        options: readingOptionsOf(givenOf(options, "describe")),
        howMeasured,
      });
      const filed = filedTable(
        read,
        runs.map(({ lotId, newLot, ...run }) => ({ ...run, lot: lotMeant({ lotId, newLot }, lots.length) })),
      );
      if (isFiled(filed)) tables.push(filed);
      else problems.push(...filed);
    }
    if (problems.length > 0) return c.json({ seq: null, lotIds: [], kept: 0, problems }, 422);
    const made = lots.map((lot) => ({ ...lot, bandId: null, note: "" }));
    const written = await store.keepIntake({ lots: made, tables }, await occasionOf(c));
    const newIds = written.made.flatMap(({ kind, id }) => (kind === "lot" ? [id] : []));
    const known = tables.flatMap(({ runs }) => runs.flatMap(({ lot }) => ("id" in lot ? [lot.id] : [])));
    const kept = tables.reduce((sum, { runs }) => sum + runs.length, 0);
    return c.json({ seq: written.seq, lotIds: [...new Set([...known, ...newIds])], kept, problems }, 201);
  });
}

function lotMeant(
  { lotId, newLot }: { readonly lotId: number | undefined; readonly newLot: number | undefined },
  lots: number,
): { readonly id: number } | { readonly newLot: number } {
  if (lotId !== undefined && newLot === undefined) return { id: lotId };
  if (newLot !== undefined && lotId === undefined && newLot < lots) return { newLot };
  throw new UnusableInput(
    "Each run goes into a lot that is there, or into one of the new lots.",
    JSON.stringify({ lotId, newLot }),
    "lotId, or newLot as a place in lots",
  );
}
