import { createRoute, z } from "@hono/zod-openapi";
import { listOf } from "#api/records/fields.ts";
import { kindNames } from "#api/records/kinds.ts";
import { signatureStates } from "#api/records/signature.ts";
import { bodyOf, changeHeaders, idParameter, json, refused, wholeNumber } from "./shapes.ts";

const event = z
  .object({
    seq: z.number(),
    at: z.string(),
    kind: z.enum(["start", "change", "undo", "redo"]),
    what: z.string(),
    by: z.string(),
    why: z.string(),
    of: z.number().nullable(),
    standing: z.enum(["done", "undone", "passed"]),
  })
  .openapi("Event");
const next = { undo: event.nullable(), redo: event.nullable() };
const change = z.object({
  kind: z.enum(kindNames),
  id: z.number(),
  before: z.unknown().openapi({ description: "null where it was made" }),
  after: z.unknown().openapi({ description: "null where it was deleted" }),
});

export const showHealth = createRoute({
  method: "get",
  path: "/api/health",
  operationId: "showHealth",
  summary: "Whether the server and its store answer",
  responses: {
    200: json(
      "They do",
      z.object({
        status: z.literal("ready"),
        version: z.string(),
        isWritable: z.boolean().exactOptional().openapi({
          description:
            "Whether a change would be saved, as far as can be told. This and what follows is told on this machine, beyond it only to who signed in",
        }),
        lastBackup: z
          .object({
            name: z.string(),
            at: z.string(),
            ageSeconds: z.number().openapi({ description: "How long ago it was made" }),
          })
          .nullable()
          .exactOptional()
          .openapi({ description: "The last backup that was made by itself and read back whole" }),
        backupsCheckedAt: z
          .string()
          .nullable()
          .exactOptional()
          .openapi({ description: "When all of them were last gone through from their first event" }),
        freeBytes: z.number().nullable().exactOptional().openapi({
          description: "What is free on the disks of the store and its backups, the fewer of both",
        }),
      }),
    ),
  },
});
export const showChangeHistory = createRoute({
  method: "get",
  path: "/api/trail",
  operationId: "showChangeHistory",
  summary: "What happened, from the latest back, and what undo and redo would do next",
  request: {
    query: z.object({
      before: wholeNumber.optional().openapi({ type: "integer", description: "Only earlier events" }),
      limit: wholeNumber
        .optional()
        .openapi({ type: "integer", description: "At most this many, 100 if not said", example: 100 }),
    }),
  },
  responses: { 200: json("Events", z.object({ events: listOf(event), ...next })), ...refused(422) },
});
export const showChanges = createRoute({
  method: "get",
  path: "/api/trail/{id}",
  operationId: "showChanges",
  summary: "What one event changed: each entry before and after",
  request: { params: idParameter },
  responses: {
    200: json("The event", z.object({ event, changes: listOf(change) })),
    ...refused(404),
  },
});
const stepBody = bodyOf(
  z.object({
    seq: z
      .number()
      .int()
      .nullable()
      .default(null)
      .openapi({ description: "The change meant; refused when another is next" }),
    of: z.literal("anybody").optional().openapi({
      description:
        "The last change of whoever did it, not of whoever asks; where there are accounts, administrators alone",
    }),
  }),
  { seq: null },
);
const step = <W extends "undo" | "redo">(way: W, summary: string) =>
  createRoute({
    method: "post",
    path: `/api/${way}` as const,
    operationId: way,
    summary,
    request: { headers: changeHeaders, body: { ...stepBody.body, required: false } },
    responses: {
      200: json("What is next now", z.object({ what: z.string(), ...next })),
      ...refused(409, 422),
    },
  });
export const undo = step(
  "undo",
  "Take the last change of whoever asks back, if nobody has touched since what it changed",
);
export const redo = step("redo", "Bring what whoever asks took back into effect again");

/** A file, sent as it is kept: of a copy the document says that it is an object. */
const fileOfType = (type: string) =>
  type === "application/json" ? z.string().openapi({ type: "object" }) : z.string();

const download = <P extends string>(path: P, operationId: string, summary: string, type: string) =>
  createRoute({
    method: "get",
    path,
    operationId,
    summary,
    responses: { 200: { description: summary, content: { [type]: { schema: fileOfType(type) } } } },
  });
export const saveCopy = download(
  "/api/copy",
  "saveCopy",
  "Everything that stands, as one JSON",
  "application/json",
);
export const saveTables = download(
  "/api/copy/tables",
  "saveTables",
  "Everything that stands, as a folder of CSV in one ZIP",
  "application/zip",
);
export const saveBackup = download(
  "/api/backup",
  "saveBackup",
  "The whole record with its trail",
  "application/x-ndjson",
);
export const importCopy = createRoute({
  method: "post",
  path: "/api/copy",
  operationId: "importCopy",
  summary: "Make what stands what a copy, a folder of CSV or a backup holds; undo takes it back",
  description:
    'The body is the text of such a file, sent as it is; a folder of CSV is sent as {"tables":{"lots.csv":"id,…"}}.',
  request: { headers: changeHeaders },
  responses: {
    200: json(
      "Whether anything changed",
      z.object({
        seq: z.number().nullable(),
        withTrail: z.boolean(),
        signatureState: z
          .enum(signatureStates)
          .exactOptional()
          .openapi({ description: "Of a backup: whose signature it bears" }),
      }),
    ),
    ...refused(413, 422),
  },
});
export const verify = createRoute({
  method: "get",
  path: "/api/verify",
  operationId: "verify",
  summary: "Every checksum and the whole record gone through",
  responses: {
    200: json(
      "What was gone through, and every fault as a sentence",
      z.object({
        events: z.number(),
        entries: z.number(),
        faults: listOf(z.string()),
        remarks: listOf(z.string()),
      }),
    ),
  },
});
