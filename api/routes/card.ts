import { createRoute, type OpenAPIHono, z } from "@hono/zod-openapi";
import { HTTPException } from "hono/http-exception";
import { idOf } from "#api/store/ledger/ledger.ts";
import { stages } from "#model/lot/stages.ts";
import type { Store } from "../store/store.ts";
import { changeRoute, removeRoute } from "./changeable.ts";
import {
  changeHeaders,
  documented,
  expectedOf,
  idParameter,
  json,
  numbered,
  numberedAnswer,
  occasionOf,
} from "./shared.ts";

const stage = z.enum(stages);
const setting = z.object({
  name: z.string().trim().min(1).max(100),
  value: z.string().max(200),
  unit: z.string().max(50).default(""),
});
const stageBody = z.object({
  settings: z.array(setting).max(100).default([]),
  note: z.string().max(5000).default(""),
});
const resultBody = z.object({
  stage: stage.nullable().default(null),
  name: z.string().trim().min(1).max(100),
  value: z.number(),
  unit: z.string().max(50),
  uncertainty: z
    .number()
    .nonnegative()
    .nullable()
    .default(null)
    .openapi({ description: "Standard uncertainty, in the same unit" }),
  note: z.string().max(5000).default(""),
});
const frozenBody = z.object({
  stage,
  name: z.string().trim().min(1).max(200),
  note: z.string().max(5000).default(""),
});
const body = <S extends z.ZodType>(schema: S) => ({
  body: { required: true, content: { "application/json": { schema } } },
});

const showCard = createRoute({
  method: "get",
  path: "/api/lots/{id}/card",
  summary: "What a lot's card says beside its runs: stage settings, other results, frozen answers",
  request: { params: idParameter },
  responses: { 200: documented("The card", z.looseObject({})) },
});
const keepStage = createRoute({
  method: "put",
  path: "/api/lots/{id}/stages/{stage}",
  summary: "Settings and note of a stage of a lot; both empty takes them off",
  request: { params: idParameter.extend({ stage }), headers: changeHeaders, ...body(stageBody) },
  responses: { 200: json("Kept", z.object({ lotId: z.number(), stage })) },
});
const keepResult = createRoute({
  method: "post",
  path: "/api/lots/{id}/results",
  summary: "Note a result of the lab, with its unit and uncertainty",
  request: { params: idParameter, headers: changeHeaders, ...body(resultBody) },
  responses: { 201: json("Kept", numbered) },
});
const freeze = createRoute({
  method: "post",
  path: "/api/lots/{id}/frozen",
  summary: "Freeze what is answered today about a stage: inputs, model version, result and hash",
  request: { params: idParameter, headers: changeHeaders, ...body(frozenBody) },
  responses: { 201: json("Frozen", numbered) },
});
const showFrozen = createRoute({
  method: "get",
  path: "/api/frozen/{id}",
  summary: "A frozen answer, beside it the same computed today, and which of its inputs are no longer so",
  request: { params: idParameter },
  responses: { 200: documented("The frozen answer", z.looseObject({})) },
});
const showFrozenSheet = createRoute({
  method: "get",
  path: "/api/frozen/{id}/sheet",
  summary: "The sheet as it was frozen, byte for byte, whatever version made it",
  request: { params: idParameter },
  responses: { 200: { description: "The sheet", content: { "text/html": { schema: z.string() } } } },
});
export function cardRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(showCard, async (c) => Response.json(await store.card(c.req.valid("param").id)));

  app.openapi(keepStage, async (c) => {
    const { id, stage: of } = c.req.valid("param");
    await store.keepStage(id, of, c.req.valid("json"), expectedOf(c), await occasionOf(c));
    return c.json({ lotId: id, stage: of }, 200);
  });

  app.openapi(keepResult, async (c) => {
    const { id } = c.req.valid("param");
    const made = idOf(await store.keepResult(id, c.req.valid("json"), await occasionOf(c)));
    return c.json(await numberedAnswer(c, store, "result", made), 201);
  });
  const results = { path: "/api/results", kind: "result" } as const;
  changeRoute(app, store, { ...results, body: resultBody }, store.changeResult);
  removeRoute(app, results, store.removeResult);

  app.openapi(freeze, async (c) => {
    const { stage: of, ...told } = c.req.valid("json");
    const made = idOf(await store.freeze(c.req.valid("param").id, of, told, await occasionOf(c)));
    return c.json(await numberedAnswer(c, store, "frozen", made), 201);
  });
  app.openapi(showFrozenSheet, async (c) => {
    const sheet = await store.frozenSheet(c.req.valid("param").id);
    if (sheet === null) throw new HTTPException(404, { message: "This answer was frozen without a sheet." });
    c.header("etag", `"${sheet.sha256}"`);
    return c.html(sheet.html, 200);
  });
  app.openapi(showFrozen, async (c) => {
    const { id } = c.req.valid("param");
    const found = await store.frozen(id);
    if (found === null) throw new HTTPException(404, { message: `There is no frozen answer ${id}.` });
    return Response.json(found);
  });
}
