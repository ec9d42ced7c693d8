import { type OpenAPIHono, z } from "@hono/zod-openapi";
import type { Context, MiddlewareHandler } from "hono";
import { accepts } from "hono/accepts";
import Papa from "papaparse";
import { listIn, listTypes } from "#api/contract/listForms.ts";
import { formulaStart } from "#model/words/formulaStart.ts";
import { wireWord } from "#model/words/wireWords.ts";
import { finderOf } from "./operations.ts";

/**
 * Sends the list of an answer as NDJSON or CSV to whoever asks for that by Accept, a line an entry. Everything else of
 * the answer is left out; how many problems and damaged entries it names stands in the header X-Problems.
 *
 * @param refuse  makes the answer where there is no list to send so
 */
export function listForms(
  app: OpenAPIHono,
  refuse: (c: Context, sentence: string) => Response,
): MiddlewareHandler {
  const find = finderOf(app);
  return async (c, next) => {
    const form = accepts(c, {
      header: "Accept",
      supports: ["application/json", ...listTypes],
      default: "application/json",
    });
    const answer = find(c.req.method, c.req.path)?.answer ?? null;
    const list = answer === null ? null : listIn(answer);
    const isOther = form !== "application/json";
    if (isOther && answer !== null && list === null)
      return refuse(c, `This answer is no list, so there is no ${form} of it. Ask for application/json.`);
    await next();
    if (list !== null) c.header("vary", "Accept", { append: true });
    if (list === null || !isOther || c.res.status !== 200) return undefined;
    const said = z.record(z.string(), z.unknown()).parse(await c.res.json());
    const entries = rowsOf(said) ?? listOf(said[wireWord(list)]);
    const headers = new Headers(c.res.headers);
    headers.set("content-type", `${form}; charset=utf-8`);
    headers.set("x-problems", String(lengthOf(said["problems"]) + lengthOf(said["damaged"])));
    headers.delete("content-length");
    c.res = new Response(form === "text/csv" ? csvOf(entries) : linesOf(entries), { status: 200, headers });
    return undefined;
  };
}

const listOf = (value: unknown): readonly unknown[] => (Array.isArray(value) ? value : []);
const lengthOf = (list: unknown): number => listOf(list).length;

const inColumns = z.object({
  lots: z.array(z.string()),
  columns: z.array(z.object({ name: z.string(), values: z.array(z.number().nullable()) })),
});

/** An answer in columns over lots as a row a lot, which HISTORY.csv is; null for any other. */
function rowsOf(said: unknown): readonly unknown[] | null {
  const { data } = inColumns.safeParse(said);
  return (
    data?.lots.map((lot, i) => ({
      lot,
      ...Object.fromEntries(data.columns.map(({ name, values }) => [name, values[i] ?? null])),
    })) ?? null
  );
}

const linesOf = (entries: readonly unknown[]) =>
  entries.map((entry) => `${JSON.stringify(entry)}\n`).join("");

/** A column for each field of any entry; "state.name" stands in a group, and a list stands in its cell as JSON. */
function csvOf(entries: readonly unknown[]): string {
  const rows = entries.map((entry) => Object.fromEntries(cellsOf(entry, "")));
  const columns = [...new Set(rows.flatMap((row) => Object.keys(row)))];
  const cells = rows.map((row) => columns.map((column) => row[column] ?? ""));
  return `${Papa.unparse({ fields: columns, data: cells }, { newline: "\n", escapeFormulae: formulaStart })}\n`;
}

function cellsOf(value: unknown, name: string): [string, string | number | boolean][] {
  if (value === null || value === undefined) return [[name, ""]];
  if (typeof value === "string" || typeof value === "number" || typeof value === "boolean")
    return [[name, value]];
  if (Array.isArray(value)) return [[name, JSON.stringify(value)]];
  return Object.entries(value).flatMap(([key, inner]) =>
    cellsOf(inner, name === "" ? key : `${name}.${key}`),
  );
}
