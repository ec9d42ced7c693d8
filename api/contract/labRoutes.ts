import { createRoute, z } from "@hono/zod-openapi";
import { changeHeaders, json } from "./shapes.ts";

/** Which of the two labs answers at this address, and what there is beside it. */
export const labState = z
  .object({
    shown: z.enum(["demo", "own"]).openapi({ description: "The lab that answers at this address" }),
    isOwnStarted: z.boolean().openapi({
      description: "Until it is, the demo answers at every address; afterwards under /demo/ alone",
    }),
    hasDemo: z.boolean().openapi({ description: "Whether there is a demo under /demo/" }),
  })
  .openapi("Lab");

export const showLab = createRoute({
  method: "get",
  path: "/api/lab",
  operationId: "showLab",
  summary: "Whether the demo or the lab's own entries answer here",
  responses: { 200: json("Which lab this is", labState) },
});
export const startLab = createRoute({
  method: "post",
  path: "/api/lab",
  operationId: "startLab",
  summary: "Start the own lab, empty; one that was started stays as it is, and so does the demo",
  request: { headers: changeHeaders },
  responses: { 200: json("Which lab answers here from now on", labState) },
});
