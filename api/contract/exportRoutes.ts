import { createRoute, z } from "@hono/zod-openapi";
import { refused } from "./shapes.ts";

export const workbookType = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
const file = { schema: z.string() };

export const exportLots = createRoute({
  method: "get",
  path: "/api/export",
  operationId: "exportLots",
  summary: "What is saved of some lots as tidy tables: lots, verdicts, sizes, curves, results and the method",
  request: {
    query: z.object({
      ids: z
        .string()
        .regex(/^\d{1,9}(,\d{1,9}){0,499}$/, "the numbers of up to 500 lots, with commas between them")
        .openapi({ description: "Up to 500 numbers with commas between them", example: "1,2" }),
      form: z
        .enum(["xlsx", "csv"])
        .default("xlsx")
        .openapi({ description: "One workbook with a sheet a table, or a ZIP with a CSV a table" }),
      texts: z.enum(["escaped", "asSaved"]).default("escaped").openapi({
        description:
          "In CSV, whether an apostrophe stands before texts that a spreadsheet would take for a formula; a number never has one",
      }),
    }),
  },
  responses: {
    200: {
      description: "The tables; X-Problems counts damaged entries that they leave out",
      content: { [workbookType]: file, "application/zip": file },
    },
    ...refused(404, 422),
  },
});
