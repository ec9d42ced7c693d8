import type { OpenAPIHono } from "@hono/zod-openapi";
import type { Context } from "hono";
import { HTTPException } from "hono/http-exception";
import type { Person } from "#api/access/accounts.ts";
import type { Guard } from "#api/access/guard.ts";
import { madePassword } from "#api/access/passwords.ts";
import * as contract from "#api/contract/accountRoutes.ts";

const dayMs = 24 * 60 * 60_000;

/** Accounts and tokens over HTTP, as `fineband user` has them. Who may is the guard's affair; tokens are one's own. */
export function accountRoutes(app: OpenAPIHono, guard: Guard | null): void {
  const here = (c: Context): Guard => {
    if (guard === null)
      throw new HTTPException(409, {
        message: "This server answers this machine alone and knows no accounts.",
      });
    c.header("cache-control", "no-store");
    return guard;
  };
  /** The door lets nobody through who is nobody. */
  const personOf = (c: Context): Person => {
    const person = here(c).personOf(c);
    if (person === null) throw new HTTPException(401, { message: "Sign in first." });
    return person;
  };
  const shown = (accounts: Guard["accounts"], name: string) => {
    const known = accounts.named(name);
    if (known === null) throw new HTTPException(404, { message: `There is no account ${name}.` });
    return { name: known.name, role: known.role, isDisabled: known.isDisabled };
  };

  app.openapi(contract.listAccounts, (c) => {
    const { accounts } = here(c);
    return c.json({ accounts: accounts.all.map(({ name }) => shown(accounts, name)) }, 200);
  });
  app.openapi(contract.addAccount, async (c) => {
    const { name, role } = c.req.valid("json");
    const password = madePassword();
    await here(c).accounts.add(name, role, password);
    return c.json({ password }, 201);
  });
  app.openapi(contract.changeAccount, (c) => {
    const { accounts } = here(c);
    const { name } = c.req.valid("param");
    const { role, isDisabled } = c.req.valid("json");
    if (role !== undefined) accounts.setRole(name, role);
    if (isDisabled === true) accounts.disable(name);
    return c.json(shown(accounts, name), 200);
  });
  app.openapi(contract.resetPassword, async (c) => {
    const password = madePassword();
    await here(c).accounts.reset(c.req.valid("param").name, password);
    return c.json({ password }, 200);
  });
  app.openapi(contract.listTokens, (c) => {
    const person = personOf(c);
    const all = here(c).accounts.tokensAt(here(c).now());
    const tokens = all.filter((one) => person.role === "administrator" || one.account === person.name);
    return c.json({ tokens }, 200);
  });
  app.openapi(contract.addToken, (c) => {
    const person = personOf(c);
    // Else a token could make itself another that lasts longer.
    if (!here(c).isSession(c))
      throw new HTTPException(403, { message: "A token is made by whoever signed in, not by a token." });
    const { role, days } = c.req.valid("json");
    const expires = new Date(here(c).now().getTime() + days * dayMs);
    const token = here(c).accounts.addToken(person.name, role, expires);
    return c.json({ token, expires: expires.toISOString() }, 201);
  });
  app.openapi(contract.endToken, (c) => {
    const person = personOf(c);
    const { id } = c.req.valid("param");
    const { accounts } = here(c);
    const known = accounts.tokensAt(here(c).now()).find((one) => one.id === id);
    if (known === undefined || (person.role !== "administrator" && known.account !== person.name))
      throw new HTTPException(404, { message: `There is no token ${id} of yours.` });
    accounts.endToken(id);
    return c.body(null, 204);
  });
}
