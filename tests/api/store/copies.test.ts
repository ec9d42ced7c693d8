import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { makeApp } from "../../../api/app.ts";
import { saveHostLine } from "../../../api/demo.ts";
import { openDatabase } from "../../../api/store/database/database.ts";
import type { Tables } from "../../../api/store/database/tables.ts";
import { makeStore, type Store } from "../../../api/store/store.ts";

const samples = fileURLToPath(new URL("../../../distributions/samples", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "fineband-copies-"));
const openHere = () => openDatabase({ databaseUrl: null, folder });
let db: Awaited<ReturnType<typeof openHere>>;
let store: Store;
let app: ReturnType<typeof makeApp>;

beforeAll(async () => {
  db = await openHere();
  store = makeStore(db, () => new Date(0));
  await saveHostLine(store, samples);
  app = makeApp({ store, uiFolder: null, log: () => {} });
});
afterAll(async () => {
  await store.close();
  rmSync(folder, { recursive: true });
});

async function ask(method: string, path: string, body?: unknown, headers: Record<string, string> = {}) {
  return app.request(path, {
    method,
    headers: body === undefined ? headers : { "content-type": "application/json", ...headers },
    ...(body === undefined ? {} : { body: typeof body === "string" ? body : JSON.stringify(body) }),
  });
}
const bodyOf = async (response: Response | Promise<Response>) => (await response).json();

describe("the lot card", () => {
  const result = { stage: "re-fired", name: "tap density", value: 2.3, unit: "g/cm³", uncertainty: 0.02 };
  test("results and settings are kept with units, changed and taken off", async () => {
    const { id } = await bodyOf(ask("POST", "/api/lots/1/results", result));
    expect((await ask("PUT", `/api/results/${id}`, { ...result, value: 2.4 })).status).toBe(200);
    const settings = [{ name: "temperature", value: "1550", unit: "°C" }];
    expect((await ask("PUT", "/api/lots/1/stages/fired", { settings, note: "new" })).status).toBe(200);
    const card = await bodyOf(ask("GET", "/api/lots/1/card"));
    expect(card).toMatchObject({
      results: [{ id, value: 2.4, uncertainty: 0.02, unit: "g/cm³", note: "" }],
      stages: [{ stage: "fired", settings, note: "new" }],
      frozen: [],
      damaged: [],
    });
    expect((await ask("PUT", "/api/lots/1/stages/fired", {})).status).toBe(412);
    await ask("PUT", "/api/lots/1/stages/fired", {}, { "if-match": `"${card.stages[0].version}"` });
    await ask("DELETE", `/api/results/${id}`);
    expect(await bodyOf(ask("GET", "/api/lots/1/card"))).toMatchObject({ results: [], stages: [] });
    expect((await ask("PUT", "/api/lots/1/stages/boiled", {})).status).toBe(422);
    expect((await ask("POST", "/api/lots/99/results", result)).status).toBe(404);
  });
});

describe("a frozen answer", () => {
  test("holds inputs, version, result and hash; a changed band makes it stale, never another", async () => {
    const { id } = await bodyOf(ask("POST", "/api/lots/1/frozen", { stage: "re-fired", name: "release" }));
    const first = await bodyOf(ask("GET", `/api/frozen/${id}`));
    expect(first.frozen.inputs.runs.length).toBe(6);
    expect(first.frozen.result.check.verdict).toBe("in band");
    expect(first.frozen.hash).toMatch(/^[0-9a-f]{64}$/);
    expect(first.again.differences).toEqual([]);
    expect(first.changedInputs).toEqual([]);
    const [{ band }] = (await bodyOf(ask("GET", "/api/bands"))).bands;
    await ask("PUT", "/api/bands/1", { ...band, rows: band.rows.slice(1) });
    const later = await bodyOf(ask("GET", `/api/frozen/${id}`));
    expect(later.frozen).toEqual(first.frozen);
    expect(later.changedInputs).toEqual(["the band changed"]);
    await ask("DELETE", "/api/lots/1");
    expect((await bodyOf(ask("GET", `/api/frozen/${id}`))).changedInputs).toEqual(["the lot was deleted"]);
    await ask("POST", "/api/undo");
    await ask("POST", "/api/undo");
    expect((await bodyOf(ask("GET", `/api/frozen/${id}`))).changedInputs).toEqual([]);
  });
  test("says when another band applies, or one where there was none", async () => {
    const frozen = (id: number) => bodyOf(ask("GET", `/api/frozen/${id}`));
    const { id: withBand } = await bodyOf(
      ask("POST", "/api/lots/1/frozen", { stage: "milled", name: "with" }),
    );
    const [{ band }] = (await bodyOf(ask("GET", "/api/bands"))).bands;
    await ask("DELETE", "/api/bands/1");
    const { id: without } = await bodyOf(
      ask("POST", "/api/lots/1/frozen", { stage: "milled", name: "without" }),
    );
    expect((await frozen(withBand)).changedInputs).toEqual(["no band applies any more"]);
    await ask("POST", "/api/bands", { ...band, name: "Grade B" });
    expect((await frozen(withBand)).changedInputs).toEqual([
      `the band is "Grade B", no longer "${band.name}"`,
    ]);
    expect((await frozen(without)).changedInputs).toEqual([
      "a band applies: then the lot was checked against none",
    ]);
    for (let i = 0; i < 4; i++) await ask("POST", "/api/undo");
  });
  test("that would come out another today is shown beside it", async () => {
    const lines = (await store.copy()).split("\n");
    const at = lines.findIndex((line) => line.includes('"name":"release"'));
    lines[at] = (lines[at] ?? "").replace('"verdict":"in band"', '"verdict":"out of band"');
    await ask("POST", "/api/copy", lines.join("\n"));
    const shown = await bodyOf(ask("GET", "/api/frozen/1"));
    expect(shown.frozen.result.check.verdict).toBe("out of band");
    expect(shown.again.differences).toEqual([
      { field: "check.verdict", frozen: "out of band", now: "in band" },
    ]);
    expect((await bodyOf(ask("GET", "/api/verify"))).faults).toEqual([
      "Frozen answer 1 does not give its hash.",
    ]);
    await ask("POST", "/api/undo");
    expect((await bodyOf(ask("GET", "/api/verify"))).faults).toEqual([]);
  });
  test("of a stage without runs is refused", async () => {
    const refused = await ask("POST", "/api/lots/1/frozen", { stage: "precursor", name: "x" });
    expect(refused.status).toBe(422);
  });
});

describe("copies over HTTP", () => {
  test("JSON, CSV and backup come back and change nothing", async () => {
    const copy = await (await ask("GET", "/api/copy")).text();
    expect(await bodyOf(ask("POST", "/api/copy", copy))).toEqual({ seq: null, withTrail: false });
    const tables = Object.fromEntries(await store.copyTables());
    expect(await bodyOf(ask("POST", "/api/copy", { tables }))).toEqual({ seq: null, withTrail: false });
    const backup = await (await ask("GET", "/api/backup")).text();
    expect(await bodyOf(ask("POST", "/api/copy", backup))).toEqual({
      seq: null,
      withTrail: false,
      signatureState: "none",
    });
    expect(await (await ask("GET", "/api/copy")).text()).toBe(copy);
  });
  test("the ZIP holds each table as it is", async () => {
    const zip = Buffer.from(await (await ask("GET", "/api/copy/tables")).arrayBuffer());
    expect(zip.readUInt32LE(0)).toBe(0x04034b50);
    const lots = (await store.copyTables()).get("lots.csv") ?? "";
    expect(lots.split("\n")[0]).toBe(
      "id,name,material,densityGPerCm3,bandId,note,keptAt,dateMade,parents,state,asideBecause",
    );
    expect(zip.includes(Buffer.from(lots))).toBe(true);
  });
  test.each([
    ["{", /no JSON/],
    ["{}", /no copy that Fineband saved/],
    ['{"fineband":"copy","version":1,"lots":[{"id":1}]}', /lot 1 cannot be read: name/],
    [
      '{"fineband":"copy","version":1,"pairs":[{"id":1,"stage":"a","geometricM2PerG":1,"betM2PerG":1},{"id":1,"stage":"a","geometricM2PerG":1,"betM2PerG":1}]}',
      /pair 1 occurs twice/,
    ],
    [
      '{"fineband":"copy","version":1,"stages":[{"id":1,"lotId":7,"stage":"fired","settings":[],"note":""}]}',
      /stage 1 belongs to lot 7/,
    ],
    ['{"fineband":"backup","version":1}\n', /cut off/],
    ['{"tables":{"a.csv":"x"}}', /none of the tables/],
  ])("%s is refused in words, and nothing changes", async (text, words) => {
    const before = await store.copy();
    const refused = await ask("POST", "/api/copy", text);
    expect(refused.status).toBe(422);
    expect((await bodyOf(refused)).detail).toMatch(words);
    expect(await store.copy()).toBe(before);
  });
});

test("a damaged run is named and the others are shown; a damaged lot is a fault with words", async () => {
  const set = (kind: string, id: number, change: Partial<Tables["entries"]>) =>
    db.updateTable("entries").set(change).where("kind", "=", kind).where("id", "=", id).execute();
  await set("measurement", 1, { body: "{}" });
  const { measurements, damaged } = await bodyOf(ask("GET", "/api/lots/1"));
  expect([measurements[0].id, damaged[0].id]).toEqual([2, 1]);
  await set("lot", 2, { body: "{}" });
  const lots = await bodyOf(ask("GET", "/api/lots"));
  expect([lots.lots.length, lots.damaged[0].id]).toEqual([6, 2]);
  const history = await ask("GET", "/api/lot-history?stage=re-fired");
  expect(history.status).toBe(200);
  const named = (await bodyOf(history)).damaged;
  expect(named).toContainEqual(expect.objectContaining({ kind: "lot", id: 2 }));
  const response = await ask("GET", "/api/lots/2");
  expect(response.status).toBe(500);
  expect((await bodyOf(response)).detail).toMatch(/lot 2 does not match its checksum/);
});
