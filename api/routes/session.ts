import type { OpenAPIHono } from "@hono/zod-openapi";
import type { Context } from "hono";
import { HTTPException } from "hono/http-exception";
import type { Guard } from "#api/access/guard.ts";
import * as contract from "#api/contract/sessionRoutes.ts";
import { NotNow } from "#api/faults.ts";

/** Signing in and out. Without a guard the server is on this machine alone, and nobody has to. */
export function sessionRoutes(app: OpenAPIHono, guard: Guard | null): void {
  const here = (): Guard => {
    if (guard === null)
      throw new HTTPException(409, {
        message: "This server answers this machine alone and knows no accounts.",
      });
    return guard;
  };
  const enter = async (c: Context, name: string, password: string): Promise<string> => {
    const entered = await here().sessions.signIn(name, password, here().addressOf(c));
    if (typeof entered === "string") return entered;
    if (entered.why === "wrong") throw new HTTPException(401, { message: "Name or password is wrong." });
    const { seconds } = entered;
    throw new NotNow(`Too many attempts. The next is taken in ${seconds} s.`, seconds, 429);
  };
  app.openapi(contract.showSession, (c) => {
    c.header("cache-control", "no-store");
    return c.json({ isNeeded: guard !== null, account: guard?.personOf(c) ?? null }, 200);
  });
  app.openapi(contract.signIn, async (c) => {
    const { name, password } = c.req.valid("json");
    const secret = await enter(c, name, password);
    here().endSession(c);
    here().keepCookie(c, secret);
    c.header("cache-control", "no-store");
    return c.json({ isNeeded: true, account: here().sessions.person(secret) }, 200);
  });
  app.openapi(contract.signOut, (c) => {
    const person = guard?.personOf(c) ?? null;
    if (person !== null && c.req.valid("query").everywhere === "true")
      guard?.accounts.signOutEverywhere(person.name);
    guard?.signOut(c);
    return c.body(null, 204);
  });
  app.openapi(contract.changePassword, async (c) => {
    const person = here().personOf(c);
    if (person === null) throw new HTTPException(401, { message: "Sign in first." });
    const given = c.req.valid("json");
    here().sessions.signOut(await enter(c, person.name, given.old));
    await here().accounts.reset(person.name, given.new);
    here().signOut(c);
    return c.body(null, 204);
  });
}
