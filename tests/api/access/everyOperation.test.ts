import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { type AccountRole, Accounts, roles } from "#api/access/accounts.ts";
import { Guard } from "#api/access/guard.ts";
import { makeApp } from "#api/app.ts";
import { operationsOf } from "../../fuzz/api/operations.ts";
import { type KeptHere, keepHere } from "../saved.ts";

// Source: OWASP ASVS 5.0, chapter 8 (from memory): what each role may is written down, and what is not is denied.
type Least = "no one" | AccountRole;

/** Who at least may ask for each operation. One that nobody wrote down here fails the test. */
const least: Readonly<Record<Least, string>> = {
  "no one": `
    GET /api/health
    GET /api/session, POST /api/session, DELETE /api/session`,
  reader: `
    POST /api/describe, POST /api/fit, POST /api/runs, POST /api/fines, POST /api/check, POST /api/compare
    POST /api/surface, POST /api/wheel, POST /api/pressure, POST /api/circuit, POST /api/stages, POST /api/band
    POST /api/against, POST /api/history, POST /api/factors, POST /api/next-trial, POST /api/chain
    POST /api/blend, POST /api/parents, POST /api/scalp
    GET /api/materials, GET /api/lots, GET /api/lots/{id}, GET /api/lots/{id}/summaries, GET /api/whole-lots
    GET /api/lot-history, GET /api/lots/{id}/calibration, GET /api/lots/{id}/ground, GET /api/lots/{id}/card
    GET /api/lots/{id}/check, GET /api/lots/{id}/sheet, GET /api/sheets, GET /api/labels
    GET /api/frozen/{id}, GET /api/frozen/{id}/sheet, GET /api/lab-table
    GET /api/instruments, GET /api/instrument-checks, GET /api/instrument-offset
    GET /api/photographs/{id}, GET /api/logos, GET /api/bands
    GET /api/mills, GET /api/mills/{id}/trials, GET /api/beliefs, GET /api/batches
    GET /api/pressure-mills, GET /api/balances, GET /api/pairs
    GET /api/trail, GET /api/trail/{id}, GET /api/copy, GET /api/copy/tables, GET /api/backup, GET /api/verify
    GET /api/export, GET /api/watch, GET /api/watch/file, GET /api/lab, GET /api/events
    PUT /api/session/password, GET /api/tokens, POST /api/tokens, DELETE /api/tokens/{id}
    GET /api/openapi.json, GET /api/docs, GET /api/nothing`,
  writer: `
    POST /api/materials, PUT /api/materials/{id}, DELETE /api/materials/{id}
    POST /api/materials/{id}/merge, POST /api/materials/{id}/split
    POST /api/lots, PUT /api/lots/{id}, DELETE /api/lots/{id}, POST /api/lots/{id}/state, POST /api/lots/{id}/rework
    POST /api/lots/{id}/measurements, PUT /api/measurements/{id}, POST /api/how-measured
    POST /api/intake, POST /api/intake/places, POST /api/lab-table, PUT /api/lots/{id}/stages/{stage}
    POST /api/lots/{id}/results, PUT /api/results/{id}, DELETE /api/results/{id}
    POST /api/lots/{id}/photographs, PUT /api/photographs/{id}, DELETE /api/photographs/{id}
    POST /api/logos, PUT /api/logos/{id}, DELETE /api/logos/{id}
    POST /api/bands, PUT /api/bands/{id}, DELETE /api/bands/{id}
    POST /api/mills, PUT /api/mills/{id}, DELETE /api/mills/{id}, POST /api/mills/{id}/trials
    PUT /api/trials/{id}, DELETE /api/trials/{id}, PUT /api/mills/{id}/belief
    PUT /api/mills/{id}/materials/{materialId}, PUT /api/lots/{id}/batches/{stage}
    POST /api/pressure-mills, PUT /api/pressure-mills/{id}, DELETE /api/pressure-mills/{id}
    POST /api/balances, PUT /api/balances/{id}, DELETE /api/balances/{id}
    POST /api/instruments, PUT /api/instruments/{id}, DELETE /api/instruments/{id}
    POST /api/pairs, PUT /api/pairs/{id}, DELETE /api/pairs/{id}
    POST /api/undo, POST /api/redo, POST /api/nothing`,
  administrator: `
    POST /api/lots/{id}/frozen, POST /api/copy, POST /api/lab
    GET /api/accounts, POST /api/accounts, PUT /api/accounts/{name}, POST /api/accounts/{name}/password`,
};
const askers = ["no one", ...roles] as const;
/** What is served beside the document: itself, its page, and what is not there. */
const beside = ["GET /api/openapi.json", "GET /api/docs", "GET /api/nothing", "POST /api/nothing"];
const leastOf = new Map(
  askers.flatMap((asker) =>
    least[asker]
      .trim()
      .split(/\s*[,\n]\s*/)
      .map((name) => [name, asker] as const),
  ),
);

const folder = mkdtempSync(join(tmpdir(), "fineband-operations-"));
let here: KeptHere;
let app: ReturnType<typeof makeApp>;
let operations: readonly string[];
const cookies = new Map<string, string>();

beforeAll(async () => {
  here = await keepHere();
  const document = await (await here.ask("GET", "/api/openapi.json")).text();
  operations = operationsOf(document).map(({ method, path }) => `${method} ${path}`);
  const accounts = new Accounts(folder, 2 ** 10);
  const guard = new Guard({ accounts, reach: "plain HTTP", writersRelease: false, nowMs: () => 0 });
  app = makeApp({ store: here.store, uiFolder: null, log: () => {}, hosts: [], guard });
  for (const role of roles) {
    const password = "seven grey stones";
    await accounts.add(role, role, password);
    const answer = await ask("POST /api/session", "no one", JSON.stringify({ name: role, password }));
    cookies.set(role, answer.headers.get("set-cookie")?.split(";")[0] ?? "");
  }
});
afterAll(async () => {
  await here.close();
  rmSync(folder, { recursive: true });
});

/** Of entries that are not there, with an empty body: whoever is let in is answered something else than a refusal. */
async function ask(operation: string, asker: Least, body = "{}"): Promise<Response> {
  const [method = "", form = ""] = operation.split(" ");
  const path = form
    .replace("{stage}", "milled")
    .replace("{name}", "nobody")
    .replace(/\{\w+\}/g, "999999");
  const headers = { host: "localhost", cookie: cookies.get(asker) ?? "" };
  return app.request(
    path,
    method === "GET" || method === "DELETE"
      ? { method, headers }
      : { method, headers: { ...headers, "content-type": "application/json" }, body },
  );
}

test("who may ask for it is written down of every operation, and of none that is not there", () => {
  expect([...leastOf.keys()].toSorted()).toEqual([...operations, ...beside].toSorted());
});

test.each(askers)("%s is let in to what is written down, and to nothing else", async (asker) => {
  const found: string[] = [];
  const asked = [...leastOf].filter(([operation]) => operation !== "DELETE /api/session");
  for (const [operation, needed] of asked) {
    const answer = await ask(operation, asker);
    await answer.body?.cancel();
    const isIn = askers.indexOf(asker) >= askers.indexOf(needed);
    const refusal = asker === "no one" ? 401 : 403;
    const isRight = isIn ? ![401, 403, 500].includes(answer.status) : answer.status === refusal;
    if (!isRight) found.push(`${operation} of ${needed}: ${answer.status}`);
  }
  expect(found).toEqual([]);
});
