import type { Context } from "hono";
import { HTTPException } from "hono/http-exception";
import { checksumOf } from "#api/records/checksum.ts";
import type { EntryKind } from "#api/records/kinds.ts";
import type { ChangeContext } from "#api/store/ledger/ledger.ts";
import type { Store } from "../store/store.ts";

/** Who asks, why, and under which key. */
export async function occasionOf(c: Context): Promise<ChangeContext> {
  const key = c.req.header("idempotency-key");
  return {
    kind: "change",
    by: plainHeader(c, "x-by"),
    why: plainHeader(c, "x-why"),
    request:
      key === undefined ? null : { key, hash: checksumOf(c.req.method, c.req.path, await c.req.text()) },
  };
}

/** The version a change was made against; null when any will do. */
export function expectedOf(c: Context): number | null {
  const given = c.req.header("if-match");
  if (given === undefined || given === "*") return null;
  const version = /^(?:W\/)?"(\d{1,9})"$/.exec(given)?.[1];
  if (version === undefined)
    throw new HTTPException(412, { message: `If-Match must be a version in quotes, found ${given}.` });
  return Number(version);
}

/** An entry's number and present version, which is also its ETag. */
export async function numberedAnswer(
  c: Context,
  store: Store,
  kind: EntryKind,
  id: number,
): Promise<{ id: number; version: number }> {
  const version = (await store.versionOf(kind, id)) ?? 0;
  c.header("etag", `"${version}"`);
  return { id, version };
}

function plainHeader(c: Context, name: string): string {
  const text = c.req.header(name) ?? "";
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}

/** Where the next page is: what was asked, with other values and without some. Source: RFC 8288. */
export function nextLink(
  url: string,
  values: Readonly<Record<string, string>>,
  without: readonly string[] = [],
): string {
  const next = new URL(url);
  for (const [name, value] of Object.entries(values)) next.searchParams.set(name, value);
  for (const name of without) next.searchParams.delete(name);
  return `<${next.pathname}${next.search}>; rel="next"`;
}
