import type { OpenAPIHono } from "@hono/zod-openapi";
import { HTTPException } from "hono/http-exception";
import { exportLots, workbookType } from "#api/contract/exportRoutes.ts";
import { savedTables } from "../store/savedTables.ts";
import type { Store } from "../store/store.ts";
import { csvArchive, workbookOf } from "../store/tableFiles.ts";

/** What is saved of a selection, for spreadsheets and statistics. */
export function exportRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(exportLots, async (c) => {
    const { ids, form, texts } = c.req.valid("query");
    const { tables, damaged } = await savedTables(store, ids.split(",").map(Number));
    if (tables.get("lots")?.length === 0)
      throw new HTTPException(404, { message: "There are no such lots." });
    const isWorkbook = form === "xlsx";
    const bytes = isWorkbook ? await workbookOf(tables) : csvArchive(tables, texts === "asSaved");
    return c.body(bytes, 200, {
      "content-type": isWorkbook ? workbookType : "application/zip",
      "content-disposition": `attachment; filename="fineband-lots.${isWorkbook ? "xlsx" : "zip"}"`,
      "x-problems": String(damaged.length),
    });
  });
}
