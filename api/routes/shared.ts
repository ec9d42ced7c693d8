import { z } from "@hono/zod-openapi";
import type { Context } from "hono";
import { HTTPException } from "hono/http-exception";
import { checksumOf } from "#api/records/checksum.ts";
import type { EntryKind } from "#api/records/records.ts";
import type { Occasion } from "#api/store/ledger/ledger.ts";
import type { Store } from "../store/store.ts";

/** A whole number in the path. A regular expression and a transform, so that the document says integer. */
export const idParameter = z.object({
  id: z
    .string()
    .regex(/^\d{1,9}$/)
    .transform(Number)
    .openapi({ param: { name: "id", in: "path" }, type: "integer" }),
});

/** What a request that changes something may carry beside its body. */
export const changeHeaders = z.object({
  "x-by": z.string().max(600).optional().openapi({ description: "Who does it, percent-encoded" }),
  "x-why": z.string().max(6000).optional().openapi({ description: "Why, percent-encoded" }),
  "idempotency-key": z
    .string()
    .min(1)
    .max(200)
    .optional()
    .openapi({ description: "A repeat with the same key makes no duplicate" }),
  "if-match": z
    .string()
    .optional()
    .openapi({ description: "The version the change was made against, in quotes" }),
});

export const numbered = z.object({ id: z.number(), version: z.number() });
export const damagedSchema = z
  .array(z.object({ kind: z.string(), id: z.number(), message: z.string() }))
  .readonly()
  .openapi({ description: "Entries that do not match their checksum: reported, never shown as numbers" });

export function json<S extends z.ZodType>(description: string, schema: S) {
  return { description, content: { "application/json": { schema } } };
}

/**
 * The same for a body that the model's own types already describe: it stands in the document,
 * and the handler answers with a plain response.
 */
export function documented(description: string, schema: z.ZodType): { readonly description: string } {
  const response = { description, content: { "application/json": { schema } } };
  return response;
}

/** Who asks, why, and under which key. */
export async function occasionOf(c: Context): Promise<Occasion> {
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
