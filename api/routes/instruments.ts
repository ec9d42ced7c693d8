import type { OpenAPIHono } from "@hono/zod-openapi";
import * as contract from "#api/contract/instrumentRoutes.ts";
import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import { askInstruments, askOffset } from "#api/store/savedInstruments.ts";
import type { Store } from "../store/store.ts";

/** How instruments stand by their checks, and how two of them differ. */
export function instrumentRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(contract.instrumentChecks, async (c) => c.json(await askInstruments(store), 200));
  app.openapi(contract.instrumentOffset, async (c) => {
    const { first, second, percentile, material } = c.req.valid("query");
    const asked = withoutUndefined({
      percentile: percentile === undefined ? undefined : Number(percentile),
      material,
    });
    return c.json(await askOffset(store, { first, second, ...asked }), 200);
  });
}
