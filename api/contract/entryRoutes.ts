import { createRoute, type z } from "@hono/zod-openapi";
import type { EntryKind } from "#api/records/kinds.ts";
import { bodyOf, changeHeaders, idParameter, json, numbered, refused } from "./shapes.ts";

/** What a route is reached by, and what it is called in the document. */
interface At<Path extends string> {
  readonly path: Path;
  readonly operationId: string;
  readonly summary: string;
}

/** GET of a list. */
export function listRoute<P extends string, S extends z.ZodType>(at: At<P>, list: S) {
  return createRoute({ method: "get", ...at, responses: { 200: json(at.summary, list) } });
}

/** POST of a new entry: its number and version come back. */
export function keepRoute<P extends string, S extends z.ZodType>(at: At<P>, body: S, example: object) {
  return createRoute({
    method: "post",
    ...at,
    request: { headers: changeHeaders, ...bodyOf(body, example) },
    responses: { 201: json("Kept", numbered), ...refused(413, 422) },
  });
}

/** PUT on one entry: the whole of it, held against the version it was made from. */
export function changeRoute<P extends string, S extends z.ZodType>(
  at: { readonly path: P; readonly kind: EntryKind; readonly called: string },
  body: S,
  example: object,
) {
  return createRoute({
    method: "put",
    path: `${at.path}/{id}` as const,
    operationId: `change${at.called}`,
    summary: `Change ${oneOf(at.called)}`,
    request: { params: idParameter, headers: changeHeaders, ...bodyOf(body, example) },
    responses: { 200: json("Changed", numbered), ...refused(404, 412, 413, 422) },
  });
}

/** DELETE of one entry; undo brings it back. */
export function removeRoute<P extends string>(at: {
  readonly path: P;
  readonly kind: EntryKind;
  readonly called: string;
}) {
  return createRoute({
    method: "delete",
    path: `${at.path}/{id}` as const,
    operationId: `delete${at.called}`,
    summary: `Delete ${oneOf(at.called)} and what belongs to it; undo brings it back`,
    request: { params: idParameter, headers: changeHeaders },
    responses: { 204: { description: "Deleted" }, ...refused(404, 412) },
  });
}

/** "PressureMill" as a sentence has it: a pressure mill. */
function oneOf(called: string): string {
  const words = called.replace(/(?<=[a-z])[A-Z]/g, (letter) => ` ${letter}`).toLowerCase();
  return `${/^[aeiou]/.test(words) ? "an" : "a"} ${words}`;
}

/** An entry with its number and version. */
export const saved = <F extends z.ZodRawShape>(fields: z.ZodObject<F>) => fields.extend(numbered.shape);
