import { mkdtempSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { makeApp } from "#api/app.ts";
import { saveHostLine } from "#api/demo.ts";
import { openDatabase } from "#api/store/database/database.ts";
import { makeStore } from "#api/store/store.ts";

// Sources: Fetch Metadata Request Headers (W3C working draft), RFC 6454 (Origin), RFC 9110 (405, 415, 421),
// OWASP ASVS 5.0 chapters 3.4 and 3.5 (second-hand: headings only, the document was not at hand).
const folder = mkdtempSync(join(tmpdir(), "fineband-door-"));
let store: ReturnType<typeof makeStore>;
let app: ReturnType<typeof makeApp>;

beforeAll(async () => {
  store = makeStore(await openDatabase({ databaseUrl: null, folder }), () => new Date(0));
  await saveHostLine(store, fileURLToPath(new URL("../../../distributions/samples", import.meta.url)));
  app = makeApp({ store, uiFolder: null, log: () => {}, hosts: ["lab.example"] });
});
afterAll(async () => {
  await store.close();
  rmSync(folder, { recursive: true });
});

const lotCount = async () => (await (await app.request("/api/lots")).json()).lots.length;

/** Each way in: what changes a lab, what asks it, what carries it away. */
const doors: readonly (readonly [method: string, path: string, body: string | null])[] = [
  ["POST", "/api/copy", '{"lots":[]}'],
  ["POST", "/api/undo", null],
  ["POST", "/api/redo", null],
  ["POST", "/api/describe", '{"text":"1 2"}'],
  ["DELETE", "/api/lots/1", null],
  ["GET", "/api/lots", null],
  ["GET", "/api/copy", null],
  ["GET", "/api/backup", null],
  ["GET", "/api/verify", null],
];

const elsewhere: readonly (readonly [string, Readonly<Record<string, string>>])[] = [
  ["a page of another site", { "sec-fetch-site": "cross-site" }],
  ["a page of another port of this machine", { "sec-fetch-site": "same-site" }],
  ["an older browser's other page", { origin: "http://other.example" }],
  ["another port, by its origin", { origin: "http://localhost:9999" }],
  ["a page without an origin of its own", { origin: "null" }],
];

describe("a page elsewhere", () => {
  test.each(elsewhere)("%s reaches nothing, and nothing changes", async (_, from) => {
    const before = await lotCount();
    for (const [method, path, body] of doors) {
      const headers = { ...from, ...(body === null ? {} : { "content-type": "application/json" }) };
      const answer = await app.request(path, { method, headers, ...(body === null ? {} : { body }) });
      expect(answer.status, `${method} ${path}`).toBe(403);
      expect((await answer.json()).detail).toMatch(/another page/);
    }
    expect(await lotCount()).toBe(before);
  });

  test.each(["text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", ""])(
    "a form's body (%j) is not read, whatever else the request says",
    async (type) => {
      for (const path of ["/api/copy", "/api/undo", "/api/describe"]) {
        const answer = await app.request(path, {
          method: "POST",
          headers: { "content-type": type },
          body: "{}",
        });
        expect(answer.status, path).toBe(415);
      }
    },
  );
});

describe("another name", () => {
  test.each([
    "rebound.example",
    "rebound.example:8417",
    "127.0.0.1.rebound.example",
    "localhost.rebound.example",
  ])("%s is not this server's, so DNS rebinding reads and writes nothing", async (host) => {
    for (const path of ["/api/lots", "/", "/api/copy"])
      expect((await app.request(path, { headers: { host } })).status).toBe(421);
  });
  test.each(["localhost", "LOCALHOST:8417", "127.0.0.1:8417", "127.8.9.1", "[::1]:8417", "lab.example:80"])(
    "%s is",
    async (host) => {
      expect((await app.request("/api/lots", { headers: { host } })).status).toBe(200);
    },
  );
});

test("the page itself and scripts are let in", async () => {
  const own = { host: "localhost:8417", origin: "http://localhost:8417", "sec-fetch-site": "same-origin" };
  expect((await app.request("/api/lots", { headers: own })).status).toBe(200);
  expect((await app.request("/api/lots", { headers: { "sec-fetch-site": "none" } })).status).toBe(200);
  const undone = await app.request("/api/undo", { method: "POST" });
  expect([200, 409]).toContain(undone.status);
});

test.each([
  "/api/lots",
  "/api/lots/1/sheet?report=full",
  "/api/health",
  "/api/nothing",
  "/nothing",
  "/api/openapi.json",
])("%s says what a browser may do with it", async (path) => {
  const { headers } = await app.request(path);
  const policy = headers.get("content-security-policy") ?? "";
  const isReport = path.includes("/sheet");
  expect(policy).toContain(`frame-ancestors ${isReport ? "'self'" : "'none'"}`);
  expect(policy).not.toMatch(/unsafe-inline|unsafe-eval|\*/);
  expect(headers.get("x-content-type-options")).toBe("nosniff");
  expect(headers.get("x-frame-options")).toBe(isReport ? "SAMEORIGIN" : "DENY");
  expect(headers.get("referrer-policy")).toBe("no-referrer");
  expect(headers.get("cross-origin-opener-policy")).toBe("same-origin");
  expect(headers.get("cross-origin-resource-policy")).toBe("same-origin");
});

test("a report runs nothing, and its own style is the only one", async () => {
  const { headers } = await app.request("/api/lots/1/sheet?report=full");
  expect(headers.get("content-security-policy")).toMatch(
    /^sandbox allow-same-origin allow-modals; default-src 'none'; style-src 'sha256-[\w+/]+=*'; img-src data:/,
  );
});

test("data is asked for anew by its ETag, a whole lab and a lot with its runs stay in no cache", async () => {
  const first = await app.request("/api/lots");
  expect(first.headers.get("cache-control")).toBe("private, no-cache");
  const again = await app.request("/api/lots", {
    headers: { "if-none-match": first.headers.get("etag") ?? "" },
  });
  expect(again.status).toBe(304);
  // A browser takes the headers of a 304 over into what it has stored.
  expect(again.headers.get("content-security-policy")).toBeNull();
  expect(again.headers.get("x-frame-options")).toBeNull();
  // A lot's ETag is the version its changes are held against, and runs come without one: it must not stand for both.
  for (const path of ["/api/copy", "/api/copy/tables", "/api/backup", "/api/lots/1"])
    expect((await app.request(path)).headers.get("cache-control")).toBe("no-store");
});

test("a method that a path does not take is told with those it takes", async () => {
  const answer = await app.request("/api/copy", { method: "PUT" });
  expect(answer.status).toBe(405);
  expect(answer.headers.get("allow")).toMatch(/GET/);
  expect((await answer.json()).detail).toMatch(/takes .*POST.*not PUT/);
  expect((await app.request("/api/nothing", { method: "PUT" })).status).toBe(404);
});

test("the lab's file is its owner's alone", () => {
  expect(statSync(join(folder, "fineband.sqlite")).mode & 0o777).toBe(0o600);
});
