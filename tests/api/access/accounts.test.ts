import { mkdtempSync, readFileSync, rmSync, statSync, symlinkSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { Accounts } from "#api/access/accounts.ts";
import { Guard } from "#api/access/guard.ts";
import { isPassword, keepPassword } from "#api/access/passwords.ts";
import { reachOf } from "#api/access/reach.ts";
import { makeApp } from "#api/app.ts";
import { type KeptHere, keepHere } from "../saved.ts";

// Sources: RFC 6265bis (cookies), RFC 6750 (bearer tokens), OWASP ASVS 5.0 chapters 6 to 8 (from memory).
const folder = mkdtempSync(join(tmpdir(), "fineband-accounts-"));
const passwords = {
  ada: "a long walk by the sea",
  ben: "seven grey stones",
  cy: "nothing but sieves",
} as const;
type Name = keyof typeof passwords;
let here: KeptHere;
let accounts: Accounts;
let app: ReturnType<typeof makeApp>;
let nowMs = Date.UTC(2030, 0, 1);

beforeAll(async () => {
  here = await keepHere();
  // Tests wait for no expensive hash; one below looks at what it costs elsewhere.
  accounts = new Accounts(folder, 2 ** 10);
  await accounts.add("ada", "administrator", passwords.ada);
  await accounts.add("ben", "writer", passwords.ben);
  await accounts.add("cy", "reader", passwords.cy);
  const guard = new Guard({ accounts, reach: "plain HTTP", writersRelease: false, nowMs: () => nowMs });
  app = makeApp({ store: here.store, uiFolder: null, log: () => {}, hosts: ["lab.example"], guard });
});
afterAll(async () => {
  await here.close();
  rmSync(folder, { recursive: true });
});

type Sent = Readonly<Record<string, string>>;
const ask = async (method: string, path: string, body?: unknown, headers: Sent = {}) =>
  app.request(path, {
    method,
    headers: {
      host: "lab.example",
      ...(body === undefined ? {} : { "content-type": "application/json" }),
      ...headers,
    },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  });
const enter = async (name: string, password: string) => ask("POST", "/api/session", { name, password });
const as = async (name: Name): Promise<Sent> => {
  const cookie = (await enter(name, passwords[name])).headers.get("set-cookie") ?? "";
  return { cookie: cookie.split(";")[0] ?? "" };
};
const lot = { name: "L", densityGPerCm3: 4.55 };

describe("who has not signed in", () => {
  test.each([
    ["GET", "/api/lots"],
    ["GET", "/api/backup"],
    ["GET", "/api/openapi.json"],
    ["GET", "/api/nothing"],
    ["POST", "/api/lots"],
    ["POST", "/api/undo"],
    ["POST", "/api/describe"],
    ["PUT", "/api/session/password"],
  ])("%s %s is refused", async (method, path) => {
    const answer = await ask(method, path, method === "GET" ? undefined : {}, { "x-by": "ada" });
    expect(answer.status).toBe(401);
    expect(answer.headers.get("www-authenticate")).toBe("Bearer");
  });
  test("sees whether the server answers, and that one must sign in", async () => {
    expect(Object.keys(await (await ask("GET", "/api/health")).json())).toEqual(["status", "version"]);
    expect(await (await ask("GET", "/api/session")).json()).toEqual({ isNeeded: true, account: null });
  });
});

describe("a session", () => {
  test("is a cookie that no script and no other site sees, and ends by signing out", async () => {
    const answer = await enter("ADA", passwords.ada);
    expect(answer.headers.get("set-cookie")).toMatch(
      /^fineband=[\w-]{43}; Path=\/; HttpOnly; SameSite=Strict$/,
    );
    expect(answer.headers.get("cache-control")).toBe("no-store");
    const cookie = await as("ada");
    expect((await ask("GET", "/api/lots", undefined, cookie)).status).toBe(200);
    expect((await ask("DELETE", "/api/session", undefined, cookie)).status).toBe(204);
    expect((await ask("GET", "/api/lots", undefined, cookie)).status).toBe(401);
  });
  test("ends after an hour without a request, and after twelve whatever one does", async () => {
    const cookie = await as("ben");
    const status = async () => (await ask("GET", "/api/lots", undefined, cookie)).status;
    for (let i = 0; i < 14; i++) {
      nowMs += 50 * 60_000;
      expect(await status()).toBe(200);
    }
    nowMs += 50 * 60_000;
    expect(await status()).toBe(401);
    const idle = await as("ben");
    nowMs += 61 * 60_000;
    expect((await ask("GET", "/api/lots", undefined, idle)).status).toBe(401);
  });
  test("ends with all others of the account where it is left everywhere, disabled, or has another role", async () => {
    for (const end of [
      (mine: Sent) => ask("DELETE", "/api/session?everywhere=true", undefined, mine),
      () => accounts.setRole("ben", "writer"),
      () => accounts.disable("ben"),
    ]) {
      const [one, other] = [await as("ben"), await as("ben")];
      await end(one);
      expect((await ask("GET", "/api/lots", undefined, other)).status).toBe(401);
    }
    expect((await enter("ben", passwords.ben)).status).toBe(401);
    await accounts.reset("ben", passwords.ben);
    expect((await enter("ben", passwords.ben)).status).toBe(200);
  });
  test("changes its password, and must sign in again", async () => {
    const mine = await as("cy");
    const change = (old: string) => ask("PUT", "/api/session/password", { old, new: passwords.cy }, mine);
    expect((await change("not the old one")).status).toBe(401);
    expect((await change(passwords.cy)).status).toBe(204);
    expect((await ask("GET", "/api/lots", undefined, mine)).status).toBe(401);
  });
});

describe("a role", () => {
  test("reader looks and asks, and changes nothing", async () => {
    const reader = await as("cy");
    expect((await ask("GET", "/api/lots", undefined, reader)).status).toBe(200);
    const asked = await ask("POST", "/api/describe", { text: "1 2" }, reader);
    expect(asked.status).not.toBe(403);
    for (const path of ["/api/lots", "/api/undo", "/api/redo", "/api/copy"])
      expect((await ask("POST", path, lot, reader)).status, path).toBe(403);
  });
  test("writer changes and takes back their own, under the account's name, and neither releases nor restores", async () => {
    const writer = { ...(await as("ben")), "x-by": "somebody else", "idempotency-key": "1" };
    const made = await ask("POST", "/api/lots", lot, writer);
    expect(made.status).toBe(201);
    const { id } = (await made.json()).lot;
    const { events } = await (await ask("GET", "/api/trail", undefined, writer)).json();
    expect(events[0].by).toBe("ben");
    for (const [path, body] of [
      [`/api/lots/${id}/frozen`, {}],
      [`/api/lots/${id}/state`, { name: "released" }],
      ["/api/copy", { lots: [] }],
    ] as const)
      expect((await ask("POST", path, body, writer)).status, path).toBe(403);
    expect(
      (await ask("POST", `/api/lots/${id}/state`, { name: "on hold", why: "" }, writer)).status,
    ).not.toBe(403);
    const administrator = { ...(await as("ada")), "idempotency-key": "1" };
    // The same key of another account is another request.
    const other = await ask("POST", "/api/lots", { ...lot, name: "M" }, administrator);
    expect((await other.json()).lot.name).toBe("M");
    expect((await ask("POST", "/api/undo", undefined, await as("ben"))).status).toBe(200);
  });
});

describe("a token", () => {
  const bearer = (token: string) => ({ authorization: `Bearer ${token}` });
  test("does what its role may until it expires, and stands nowhere as it is", async () => {
    const token = accounts.addToken("ben", "reader", new Date(nowMs + 1000));
    expect(readFileSync(join(folder, "accounts.json"), "utf8")).not.toContain(token);
    expect((await ask("GET", "/api/lots", undefined, bearer(token))).status).toBe(200);
    expect((await ask("POST", "/api/lots", lot, bearer(token))).status).toBe(403);
    nowMs += 1000;
    expect((await ask("GET", "/api/lots", undefined, bearer(token))).status).toBe(401);
    expect((await ask("GET", "/api/lots", undefined, bearer("fineband_none"))).status).toBe(401);
  });
  test("may no more than its account, and ends with it", async () => {
    expect(() => accounts.addToken("ben", "administrator", new Date(nowMs + 1000))).toThrow(/may do no more/);
    const token = accounts.addToken("ben", "writer", new Date(nowMs + 1000));
    accounts.disable("ben");
    expect((await ask("GET", "/api/lots", undefined, bearer(token))).status).toBe(401);
    await accounts.reset("ben", passwords.ben);
  });
});

test("an administrator alone takes back what another did last, under their own name", async () => {
  const [ben, ada] = [await as("ben"), await as("ada")];
  expect((await ask("POST", "/api/lots", { ...lot, name: "By Ben" }, ben)).status).toBe(201);
  const anybody = { seq: null, of: "anybody" };
  expect((await ask("POST", "/api/undo", anybody, ben)).status).toBe(403);
  expect(await (await ask("POST", "/api/undo", anybody, ada)).json()).toMatchObject({
    what: 'saved lot "By Ben"',
  });
  const { events } = await (await ask("GET", "/api/trail?limit=1", undefined, ada)).json();
  expect(events[0]).toMatchObject({ kind: "undo", by: "ada" });
});

describe("accounts over HTTP", () => {
  test("are an administrator's alone: added, given a role, reset, disabled, under a password that is shown once", async () => {
    for (const name of ["ben", "cy"] as const)
      expect((await ask("GET", "/api/accounts", undefined, await as(name))).status).toBe(403);
    const ada = await as("ada");
    const added = await ask("POST", "/api/accounts", { name: "dee", role: "reader" }, ada);
    expect([added.status, added.headers.get("cache-control")]).toEqual([201, "no-store"]);
    const { password } = await added.json();
    expect((await enter("dee", password)).status).toBe(200);
    expect((await ask("POST", "/api/accounts", { name: "Dee", role: "reader" }, ada)).status).toBe(422);
    const changed = await ask("PUT", "/api/accounts/dee", { role: "writer" }, ada);
    expect(await changed.json()).toEqual({ name: "dee", role: "writer", isDisabled: false });
    await ask("PUT", "/api/accounts/dee", { isDisabled: true }, ada);
    expect((await enter("dee", password)).status).toBe(401);
    const again = await (await ask("POST", "/api/accounts/dee/password", undefined, ada)).json();
    expect((await enter("dee", again.password)).status).toBe(200);
    const list = await ask("GET", "/api/accounts", undefined, ada);
    expect((await list.json()).accounts.map((one: { name: string }) => one.name)).toEqual([
      "ada",
      "ben",
      "cy",
      "dee",
    ]);
    expect(JSON.stringify(await (await ask("GET", "/api/accounts", undefined, ada)).json())).not.toContain(
      "hash",
    );
    expect((await ask("PUT", "/api/accounts/ada", { role: "reader" }, ada)).status).toBe(422);
    accounts.disable("dee");
  });
  test("tokens are made by whoever signed in, no wider than they are, and ended by them or an administrator", async () => {
    const [ben, ada] = [await as("ben"), await as("ada")];
    expect((await ask("POST", "/api/tokens", { role: "administrator", days: 1 }, ben)).status).toBe(422);
    const { token } = await (await ask("POST", "/api/tokens", { role: "writer", days: 1 }, ben)).json();
    const bearer = { authorization: `Bearer ${token}` };
    expect((await ask("GET", "/api/lots", undefined, bearer)).status).toBe(200);
    // A token makes no other that would outlive it.
    expect((await ask("POST", "/api/tokens", { role: "reader", days: 300 }, bearer)).status).toBe(403);
    const listed = async (who: Sent) =>
      (await (await ask("GET", "/api/tokens", undefined, who)).json()).tokens;
    const [own] = await listed(ben);
    expect(own).toMatchObject({ account: "ben", role: "writer" });
    expect(JSON.stringify(own)).not.toContain(token);
    expect(await listed(await as("cy"))).toEqual([]);
    expect((await ask("DELETE", `/api/tokens/${own.id}`, undefined, await as("cy"))).status).toBe(404);
    expect((await ask("DELETE", `/api/tokens/${own.id}`, undefined, ada)).status).toBe(204);
    expect((await ask("GET", "/api/lots", undefined, bearer)).status).toBe(401);
  });
  test("a server for this machine alone knows none", async () => {
    const alone = makeApp({ store: here.store, uiFolder: null, log: () => {} });
    for (const path of ["/api/accounts", "/api/tokens"])
      expect((await alone.request(path, { headers: { host: "localhost" } })).status).toBe(409);
  });
});

test("wrong attempts wait, twice as long each time, and say for how long; the right one then is let in", async () => {
  for (let i = 0; i < 5; i++) expect((await enter("cy", "wrong password")).status).toBe(401);
  const late = await enter("cy", passwords.cy);
  expect(late.status).toBe(429);
  expect(late.headers.get("retry-after")).toBe("1");
  nowMs += 1000;
  expect((await enter("cy", "wrong password")).status).toBe(401);
  expect((await enter("cy", passwords.cy)).headers.get("retry-after")).toBe("2");
  nowMs += 2000;
  expect((await enter("cy", passwords.cy)).status).toBe(200);
  expect(await (await enter("nobody", "wrong password")).json()).toMatchObject({
    detail: "Name or password is wrong.",
  });
});

test("the file of accounts is its owner's alone, is no link, and holds no password", async () => {
  const path = join(folder, "accounts.json");
  expect(statSync(path).mode & 0o777).toBe(0o600);
  for (const password of Object.values(passwords)) expect(readFileSync(path, "utf8")).not.toContain(password);
  const other = mkdtempSync(join(tmpdir(), "fineband-accounts-"));
  symlinkSync(path, join(other, "accounts.json"));
  expect(() => new Accounts(other).all).toThrow(/no file of its own/);
  rmSync(other, { recursive: true });
});

test("a password is kept as scrypt makes it, at a cost that guessing pays too", async () => {
  const { hash, salt, ...cost } = await keepPassword(passwords.ada);
  expect(cost).toEqual({ cost: 131_072, blockSize: 8, parallel: 1 });
  expect(Buffer.from(hash, "base64").length).toBe(32);
  expect(Buffer.from(salt, "base64").length).toBe(16);
  expect((await keepPassword(passwords.ada, 1024)).hash).not.toBe(
    (await keepPassword(passwords.ada, 1024)).hash,
  );
  // Source: RFC 7914, section 12: N = 1024, r = 8, p = 16, its first 32 bytes.
  const theirs = Buffer.from("fdbabe1c9d3472007856e7190d01e9fe7c6ad7cbc8237830e77376634b373162", "hex");
  const kept = { salt: Buffer.from("NaCl").toString("base64"), hash: theirs.toString("base64") };
  const made = { cost: 1024, blockSize: 8, parallel: 16 };
  expect(await isPassword("password", { ...kept, ...made })).toBe(true);
  expect(await isPassword("passwort", { ...kept, ...made })).toBe(false);
});

test("short or guessable passwords, odd names and a lab without administrator are refused", async () => {
  for (const password of ["short", "dora dora dora", "aaaaaaaaaaaaaaaa"])
    await expect(accounts.add("dora", "reader", password)).rejects.toThrow(/password/);
  for (const name of ["", " a", "a\nb", "<b>", "BEN"])
    await expect(accounts.add(name, "reader", "a password of its own")).rejects.toThrow();
  expect(() => accounts.disable("ada")).toThrow(/last administrator/);
  expect(() => accounts.setRole("ada", "writer")).toThrow(/last administrator/);
});

test("behind TLS only the proxy is answered, the cookie is for TLS alone, and its last address counts", async () => {
  const guard = new Guard({ accounts, reach: "behind TLS", writersRelease: false, nowMs: () => nowMs });
  const behind = makeApp({ store: here.store, uiFolder: null, log: () => {}, hosts: ["lab.example"], guard });
  const headers = { host: "lab.example", "content-type": "application/json" };
  expect((await behind.request("/api/health", { headers })).status).toBe(403);
  const answer = await behind.request("/api/session", {
    method: "POST",
    headers: { ...headers, "x-forwarded-proto": "https", "x-forwarded-for": "10.0.0.1, 192.0.2.7" },
    body: JSON.stringify({ name: "ada", password: passwords.ada }),
  });
  expect(answer.headers.get("set-cookie")).toMatch(/^__Host-fineband=.*; Secure; /);
  expect(answer.headers.get("strict-transport-security")).toBe("max-age=31536000");
});

describe("a server starts", () => {
  const plain = { FINEBAND_PLAIN_HTTP: "yes" };
  test("on this machine without accounts, as ever", () => {
    for (const host of ["127.0.0.1", "localhost", "::1"])
      expect(reachOf({}, host, () => false)).toBe("this machine");
  });
  test("beyond it only with an administrator and where it is said how secrets stay so", () => {
    expect(() => reachOf({}, "0.0.0.0", () => true)).toThrow(/needs TLS in front/);
    expect(() => reachOf({ FINEBAND_HOSTS: "lab.example" }, "127.0.0.1", () => true)).toThrow(/needs TLS/);
    expect(() => reachOf(plain, "0.0.0.0", () => false)).toThrow(/user add NAME --role administrator/);
    expect(() => reachOf({ ...plain, FINEBAND_TLS_PROXY: "yes" }, "::", () => true)).toThrow(/exclude/);
    expect(reachOf(plain, "0.0.0.0", () => true)).toBe("plain HTTP");
    expect(reachOf({ FINEBAND_TLS_PROXY: "yes" }, "127.0.0.1", () => true)).toBe("behind TLS");
  });
});
