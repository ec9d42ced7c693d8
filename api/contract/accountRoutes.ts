import { createRoute, z } from "@hono/zod-openapi";
import { listOf } from "#api/records/fields.ts";
import { maxTokenDays } from "./options.ts";
import { bodyOf, json, refused } from "./shapes.ts";

const role = z.enum(["reader", "writer", "administrator"]);
const account = z.object({ name: z.string(), role, isDisabled: z.boolean() }).openapi("Account");
const token = z
  .object({ id: z.string(), account: z.string(), role, expires: z.string() })
  .openapi("Token", { description: "A token for scripts, without its secret, which was shown once" });
const password = z.object({
  password: z
    .string()
    .openapi({ description: "Made here, shown this once; to be changed at the first sign-in" }),
});
const nameParameter = z.object({
  name: z
    .string()
    .max(200)
    .openapi({ param: { name: "name", in: "path" }, example: "ada" }),
});

export const listAccounts = createRoute({
  method: "get",
  path: "/api/accounts",
  operationId: "listAccounts",
  summary: "The accounts of this server; administrators alone",
  responses: { 200: json("The accounts", z.object({ accounts: listOf(account) })), ...refused(409) },
});
export const addAccount = createRoute({
  method: "post",
  path: "/api/accounts",
  operationId: "addAccount",
  summary: "Add an account; its first password is made here",
  request: bodyOf(z.object({ name: z.string().max(200), role }), { name: "ada", role: "writer" }),
  responses: { 201: json("Added", password), ...refused(409, 422) },
});
export const changeAccount = createRoute({
  method: "put",
  path: "/api/accounts/{name}",
  operationId: "changeAccount",
  summary: "Another role for an account, or disable it; both sign it out everywhere and end its tokens",
  request: {
    params: nameParameter,
    ...bodyOf(z.object({ role: role.optional(), isDisabled: z.literal(true).optional() }), {
      role: "reader",
    }),
  },
  responses: { 200: json("Changed", account), ...refused(409, 422) },
});
export const resetPassword = createRoute({
  method: "post",
  path: "/api/accounts/{name}/password",
  operationId: "resetPassword",
  summary: "A new password for an account, made here; one that was disabled may come in again",
  request: { params: nameParameter },
  responses: { 200: json("The new password", password), ...refused(409, 422) },
});
export const listTokens = createRoute({
  method: "get",
  path: "/api/tokens",
  operationId: "listTokens",
  summary: "The tokens that still hold: one's own, of administrators those of everybody",
  responses: { 200: json("The tokens", z.object({ tokens: listOf(token) })), ...refused(409) },
});
export const addToken = createRoute({
  method: "post",
  path: "/api/tokens",
  operationId: "addToken",
  summary: "Make a token for scripts of one's own; it may no more than oneself. Needs a session, not a token",
  request: bodyOf(z.object({ role, days: z.number().positive().max(maxTokenDays) }), {
    role: "reader",
    days: 90,
  }),
  responses: {
    201: json(
      "Made",
      z.object({ token: z.string().openapi({ description: "Shown this once" }), expires: z.string() }),
    ),
    ...refused(409, 422),
  },
});
export const endToken = createRoute({
  method: "delete",
  path: "/api/tokens/{id}",
  operationId: "endToken",
  summary: "End a token of one's own, or as an administrator anybody's",
  request: {
    params: z.object({
      id: z
        .string()
        .max(100)
        .openapi({ param: { name: "id", in: "path" }, example: "0a1b2c3d4e5f" }),
    }),
  },
  responses: { 204: { description: "It no longer holds" }, ...refused(404, 409) },
});
