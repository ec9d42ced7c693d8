import { createRoute, z } from "@hono/zod-openapi";
import { listOf, nameGiven, noteGiven } from "#api/records/fields.ts";
import { materialFields, stepFields } from "#api/records/material.ts";
import { usualSteps } from "#model/lot/processSteps.ts";
import { changeRoute, keepRoute, listRoute, removeRoute, saved } from "./entryRoutes.ts";
import { bodyOf, changeHeaders, damagedSchema, idParameter, json, numbered, refused } from "./shapes.ts";

const densityGiven = z.number().positive().max(30);
const newMaterial = materialFields.extend({
  name: nameGiven,
  densityGPerCm3: densityGiven,
  steps: listOf(
    stepFields
      .extend({ id: stepFields.shape.id.optional().openapi({ description: "Left out, its name" }) })
      .transform(({ id, name, kind }) => ({ id: id ?? name.trim(), name, kind })),
  ).default(usualSteps),
  bands: materialFields.shape.bands.default([]),
  note: noteGiven,
});
const exampleMaterial = { name: "ceria polishing powder", densityGPerCm3: 7.2 };
const material = { path: "/api/materials", kind: "material", called: "Material" } as const;

export const listMaterials = listRoute(
  { path: material.path, operationId: "listMaterials", summary: "All materials" },
  z.object({ materials: listOf(saved(materialFields).openapi("Material")), damaged: damagedSchema }),
);
export const keepMaterial = keepRoute(
  { path: material.path, operationId: "keepMaterial", summary: "Keep a material; no two have the same name" },
  newMaterial,
  exampleMaterial,
);
export const changeMaterial = changeRoute(material, newMaterial, exampleMaterial);
export const removeMaterial = removeRoute(material);

export const mergeMaterials = createRoute({
  method: "post",
  path: "/api/materials/{id}/merge",
  operationId: "mergeMaterials",
  summary: "Make the lots of a material those of another; each keeps its density, and one undo takes it back",
  request: {
    params: idParameter,
    headers: changeHeaders,
    ...bodyOf(z.object({ intoId: z.number().int() }), { intoId: 2 }),
  },
  responses: { 200: json("The material that stays", numbered), ...refused(404, 412, 413, 422) },
});
export const splitMaterial = createRoute({
  method: "post",
  path: "/api/materials/{id}/split",
  operationId: "splitMaterial",
  summary: "Make some lots of a material those of a new one; one undo takes it back",
  request: {
    params: idParameter,
    headers: changeHeaders,
    ...bodyOf(
      z.object({
        name: nameGiven,
        densityGPerCm3: densityGiven
          .optional()
          .openapi({ description: "Of the new one; left out, that of the material they were of" }),
        lotIds: z.array(z.number().int()).max(100_000),
      }),
      { name: "garnet, 3 % dopant", lotIds: [4, 5] },
    ),
  },
  responses: { 201: json("The new material", numbered), ...refused(404, 413, 422) },
});
