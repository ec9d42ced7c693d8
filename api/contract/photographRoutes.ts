import { createRoute, z } from "@hono/zod-openapi";
import { nameGiven, noteGiven, stageWord } from "#api/records/fields.ts";
import { photographTypes } from "#api/records/photograph.ts";
import { changeRoute, removeRoute } from "./entryRoutes.ts";
import { changeHeaders, idParameter, json, numbered, refused } from "./shapes.ts";

const bytes = { schema: z.string().openapi({ format: "binary" }) };
const photograph = { path: "/api/photographs", kind: "photograph", called: "Photograph" } as const;

export const keepPhotograph = createRoute({
  method: "post",
  path: "/api/lots/{id}/photographs",
  operationId: "keepPhotograph",
  summary: "Keep a photograph of a stage of a lot: PNG, JPEG or WebP, at most 8 MB",
  description:
    "The body is the file, sent as it is. The same bytes are kept once, whatever lots they belong to.",
  request: {
    params: idParameter,
    query: z.object({
      stage: stageWord.openapi({ example: "milled" }),
      name: nameGiven.openapi({ example: "powder" }),
    }),
    headers: changeHeaders,
  },
  responses: { 201: json("Kept", numbered), ...refused(404, 413, 422) },
});
export const showPhotograph = createRoute({
  method: "get",
  path: "/api/photographs/{id}",
  operationId: "showPhotograph",
  summary: "The bytes of a photograph as received",
  request: { params: idParameter },
  responses: {
    200: {
      description: "The picture",
      content: Object.fromEntries(photographTypes.map((type) => [type, bytes])),
    },
    ...refused(404, 422),
  },
});
export const changePhotograph = changeRoute(photograph, z.object({ name: nameGiven, note: noteGiven }), {
  name: "powder",
  note: "plates among the grains",
});
export const removePhotograph = removeRoute(photograph);
