import { createRoute, type OpenAPIHono, z } from "@hono/zod-openapi";
import { UnusableInput } from "#api/faults.ts";
import { isBackup } from "#api/store/transfer/backup.ts";
import { zipOf } from "#api/store/transfer/zip.ts";
import type { Store } from "../store/store.ts";
import { changeHeaders, documented, occasionOf } from "./shared.ts";

const tables = z.object({
  tables: z
    .record(z.string(), z.string())
    .openapi({ description: "The texts of the CSV files by their names" }),
});

const get = (path: string, summary: string) =>
  createRoute({ method: "get", path, summary, responses: { 200: { description: summary } } });
const bringBack = createRoute({
  method: "post",
  path: "/api/copy",
  summary: "Make what stands what a copy, a folder of CSV or a backup holds; undo takes it back",
  request: { headers: changeHeaders },
  responses: {
    200: documented(
      "Whether anything changed",
      z.object({ seq: z.number().nullable(), withTrail: z.boolean() }),
    ),
  },
});

/** Copies to keep elsewhere, and the way back. The bodies are files, so they are sent and taken as they are. */
export function copyRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(get("/api/copy", "Everything that stands, as one JSON"), async () =>
    download(await store.copy(), "application/json", "fineband-copy.json"),
  );
  app.openapi(get("/api/copy/tables", "Everything that stands, as a folder of CSV in one ZIP"), async () =>
    download(zipOf(await store.copyTables()), "application/zip", "fineband-tables.zip"),
  );
  app.openapi(get("/api/backup", "The whole record with its trail"), async () => {
    const lines: string[] = [];
    for await (const line of store.backup()) lines.push(line);
    return download(lines.join(""), "application/x-ndjson", "fineband-backup.jsonl");
  });
  app.openapi(bringBack, async (c) => {
    const text = await c.req.text();
    const occasion = await occasionOf(c);
    if (isBackup(text)) {
      const { withTrail, written } = await store.restore(text, occasion);
      return Response.json({ seq: written.seq, withTrail });
    }
    const folder = text.startsWith('{"tables"') ? tables.safeParse(parsed(text)) : null;
    const written =
      folder?.success === true
        ? await store.bringBackTables(new Map(Object.entries(folder.data.tables)), occasion)
        : await store.bringBack(text, occasion);
    return Response.json({ seq: written.seq, withTrail: false });
  });
  app.openapi(get("/api/verify", "Every checksum and the whole record gone through"), async () =>
    Response.json(await store.verify()),
  );
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    throw new UnusableInput("The tables are no JSON.");
  }
}

function download(body: string | Uint8Array<ArrayBuffer>, type: string, name: string): Response {
  return new Response(body, {
    headers: { "content-type": type, "content-disposition": `attachment; filename="${name}"` },
  });
}
