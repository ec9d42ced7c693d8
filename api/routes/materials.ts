import type { OpenAPIHono } from "@hono/zod-openapi";
import * as contract from "#api/contract/materialRoutes.ts";
import { idOf } from "#api/store/ledger/ledger.ts";
import type { Store } from "../store/store.ts";
import { expectedOf, numberedAnswer, occasionOf } from "./shared.ts";

export function materialRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(contract.listMaterials, async (c) => c.json(await store.materials(), 200));
  app.openapi(contract.keepMaterial, async (c) => {
    const id = idOf(await store.keepMaterial(c.req.valid("json"), await occasionOf(c)));
    return c.json(await numberedAnswer(c, store, "material", id), 201);
  });
  app.openapi(contract.changeMaterial, async (c) => {
    const { id } = c.req.valid("param");
    await store.changeMaterial(id, c.req.valid("json"), expectedOf(c), await occasionOf(c));
    return c.json(await numberedAnswer(c, store, "material", id), 200);
  });
  app.openapi(contract.removeMaterial, async (c) => {
    await store.removeMaterial(c.req.valid("param").id, expectedOf(c), await occasionOf(c));
    return c.body(null, 204);
  });
  app.openapi(contract.mergeMaterials, async (c) => {
    const { id } = c.req.valid("param");
    const { intoId } = c.req.valid("json");
    await store.mergeMaterials({ id, intoId }, expectedOf(c), await occasionOf(c));
    return c.json(await numberedAnswer(c, store, "material", intoId), 200);
  });
  app.openapi(contract.splitMaterial, async (c) => {
    const { id } = c.req.valid("param");
    const made = idOf(await store.splitMaterial(id, c.req.valid("json"), await occasionOf(c)));
    return c.json(await numberedAnswer(c, store, "material", made), 201);
  });
}
