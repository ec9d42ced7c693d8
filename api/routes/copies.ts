import { type OpenAPIHono, z } from "@hono/zod-openapi";
import { strToU8, zipSync } from "fflate";
import * as contract from "#api/contract/recordRoutes.ts";
import { UnusableInput } from "#api/faults.ts";
import { isBackup } from "#api/store/transfer/backupReading.ts";
import type { Store } from "../store/store.ts";
import { occasionOf } from "./shared.ts";

const tables = z.object({
  tables: z
    .record(z.string(), z.string())
    .openapi({ description: "The texts of the CSV files by their names" }),
});

/** Copies to keep elsewhere, and the way back. The bodies are files, so they are sent and taken as they are. */
export function copyRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(contract.saveCopy, async () =>
    download(await streamed(store.copyPieces()), "application/json", "fineband-copy.json"),
  );
  app.openapi(contract.saveTables, async () =>
    download(zipOf(await store.copyTables()), "application/zip", "fineband-tables.zip"),
  );
  app.openapi(contract.saveBackup, async () => {
    const body = await streamed(store.backup());
    return download(body, "application/x-ndjson", "fineband-backup.jsonl");
  });
  app.openapi(contract.importCopy, async (c) => {
    const text = await c.req.text();
    const occasion = await occasionOf(c);
    if (isBackup(text)) {
      const { withTrail, written, signatureState } = await store.restore(text, occasion);
      return c.json({ seq: written.seq, withTrail, signatureState }, 200);
    }
    const folder = text.startsWith('{"tables"') ? tables.safeParse(parsed(text)) : null;
    const written =
      folder?.success === true
        ? await store.importTables(new Map(Object.entries(folder.data.tables)), occasion)
        : await store.importCopy(text, occasion);
    return c.json({ seq: written.seq, withTrail: false }, 200);
  });
  app.openapi(contract.verify, async (c) => c.json(await store.verify(), 200));
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    throw new UnusableInput("The tables are no JSON.");
  }
}

/**
 * Pieces as the body of an answer, each taken when whoever asked has room for it. What is refused before the first piece
 * is refused as any answer; where it breaks off later, so does the answer.
 */
async function streamed(pieces: AsyncGenerator<string>): Promise<ReadableStream<Uint8Array>> {
  let next = await pieces.next();
  return new ReadableStream<Uint8Array>({
    async pull(controller) {
      if (next.done === true) {
        controller.close();
        return;
      }
      controller.enqueue(strToU8(next.value));
      next = await pieces.next();
    },
    async cancel() {
      await pieces.return(undefined);
    },
  });
}

function download(
  body: string | Uint8Array<ArrayBuffer> | ReadableStream<Uint8Array>,
  type: string,
  name: string,
): Response {
  return new Response(body, {
    headers: { "content-type": type, "content-disposition": `attachment; filename="${name}"` },
  });
}

/** The same texts give the same bytes: nothing is compressed, and every file bears the first day that a ZIP can state. */
function zipOf(files: ReadonlyMap<string, string>): Uint8Array<ArrayBuffer> {
  const bytes = [...files].map(([name, text]): [string, Uint8Array] => [name, strToU8(text)]);
  return new Uint8Array(zipSync(Object.fromEntries(bytes), { level: 0, mtime: new Date(1980, 0, 1) }));
}
