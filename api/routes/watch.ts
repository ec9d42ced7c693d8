import type { OpenAPIHono } from "@hono/zod-openapi";
import { HTTPException } from "hono/http-exception";
import * as contract from "#api/contract/watchRoutes.ts";
import type { FolderWatch } from "#api/intake/folderWatch.ts";

/** What waits in the watched folder. @param watch  null where none is watched */
export function watchRoutes(app: OpenAPIHono, watch: FolderWatch | null): void {
  app.openapi(contract.showWatch, (c) => {
    if (watch === null)
      return c.json({ folder: null, fault: null, saved: 0, beingWritten: 0, waiting: [] }, 200);
    const { folder, fault, files } = watch.state;
    const count = (...states: readonly string[]) =>
      files.filter(({ state }) => states.includes(state)).length;
    const waiting = files.flatMap(({ file, state, question }) =>
      state === "waiting" && question !== null ? [{ file, question }] : [],
    );
    const saved = count("saved", "saved already");
    return c.json({ folder, fault, saved, beingWritten: count("being written"), waiting }, 200);
  });
  app.openapi(contract.showWatchedFile, async (c) => {
    const { file } = c.req.valid("query");
    const bytes = (await watch?.bytesOf(file)) ?? null;
    if (bytes === null)
      throw new HTTPException(404, { message: `No file ${file} waits in a watched folder.` });
    return c.json({ file, base64: Buffer.from(bytes).toString("base64") }, 200);
  });
}
