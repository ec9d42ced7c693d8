import { createRoute, z } from "@hono/zod-openapi";
import { bodyOf, json, refused } from "./shapes.ts";

export const sessionState = z
  .object({
    isNeeded: z
      .boolean()
      .openapi({ description: "Whether this server knows accounts; alone on a machine it does not" }),
    account: z
      .object({ name: z.string(), role: z.enum(["reader", "writer", "administrator"]) })
      .nullable()
      .openapi({ description: "Who is signed in" }),
  })
  .openapi("Session");

export const showSession = createRoute({
  method: "get",
  path: "/api/session",
  operationId: "showSession",
  summary: "Whether one must sign in here, and who is",
  responses: { 200: json("The session", sessionState) },
});
export const signIn = createRoute({
  method: "post",
  path: "/api/session",
  operationId: "signIn",
  summary: "Sign in; the answer sets the session's cookie",
  request: bodyOf(z.object({ name: z.string().max(200), password: z.string().max(1000) }), {
    name: "lab-admin",
    password: "a sentence of your own",
  }),
  responses: { 200: json("Signed in", sessionState), ...refused(401, 409, 422, 429) },
});
export const signOut = createRoute({
  method: "delete",
  path: "/api/session",
  operationId: "signOut",
  summary: "Sign out here, or with everywhere=true on every machine; tokens then end too",
  request: { query: z.object({ everywhere: z.enum(["true", "false"]).optional() }) },
  responses: { 204: { description: "Signed out" }, ...refused(422) },
});
export const changePassword = createRoute({
  method: "put",
  path: "/api/session/password",
  operationId: "changePassword",
  summary: "Another password for whoever is signed in; signs out everywhere",
  request: bodyOf(z.object({ old: z.string().max(1000), new: z.string().max(1000) }), {
    old: "a sentence of your own",
    new: "another sentence of your own",
  }),
  responses: { 204: { description: "Changed; sign in with it" }, ...refused(401, 409, 422, 429) },
});
