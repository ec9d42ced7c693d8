import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect } from "vitest";
import { makeApp } from "../../api/app.ts";
import { saveHostLine } from "../../api/demo.ts";
import { openDatabase } from "../../api/store/database/database.ts";
import { makeStore } from "../../api/store/store.ts";

/** A server as a value on a store of its own, at the beginning of time; with the demo's lots where asked. */
export async function keepHere({ withDemo = false } = {}) {
  const folder = mkdtempSync(join(tmpdir(), "fineband-api-"));
  const store = makeStore(await openDatabase({ databaseUrl: null, folder }), () => new Date(0));
  if (withDemo)
    await saveHostLine(store, fileURLToPath(new URL("../../distributions/samples", import.meta.url)));
  const app = makeApp({ store, uiFolder: null, log: () => {} });
  return {
    store,
    app,
    ask: async (method: string, path: string, body?: unknown, headers: Record<string, string> = {}) =>
      app.request(path, {
        method,
        headers: body === undefined ? headers : { "content-type": "application/json", ...headers },
        ...(body === undefined ? {} : { body: JSON.stringify(body) }),
      }),
    /** Everything must still match its checksum. */
    close: async () => {
      expect((await store.verify()).faults).toEqual([]);
      await store.close();
      rmSync(folder, { recursive: true });
    },
  };
}

export type KeptHere = Awaited<ReturnType<typeof keepHere>>;
