import type { MiddlewareHandler } from "hono";
import { inCode, onWire } from "#model/words/wireWords.ts";

const isJson = (type: string | null | undefined) => /^application\/(problem\+)?json\b/.test(type ?? "");

/** The door: a request in JSON comes in with the words that code has, an answer leaves with those of the wire. */
export const translated: MiddlewareHandler = async (c, next) => {
  const { method, url, headers } = c.req.raw;
  // A copy is a file: it is read and written as it is.
  const isFile = c.req.path.startsWith("/api/copy") || c.req.path === "/api/backup";
  if (!isFile && isJson(headers.get("content-type")) && method !== "GET")
    c.req.raw = new Request(url, { method, headers, body: inCode(await c.req.raw.text()) });
  await next();
  if (isFile || !isJson(c.res.headers.get("content-type"))) return;
  const { status, headers: sent } = c.res;
  c.res = new Response(onWire(await c.res.text()), { status, headers: sent });
};
