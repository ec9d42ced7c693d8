import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { makeApp } from "../../../api/app.ts";
import { saveHostLine } from "../../../api/demo.ts";
import { openDatabase } from "../../../api/store/database/database.ts";
import { makeStore, type Store } from "../../../api/store/store.ts";

const samples = fileURLToPath(new URL("../../../distributions/samples", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "fineband-keeping-"));
let store: Store;
let app: ReturnType<typeof makeApp>;

beforeAll(async () => {
  store = makeStore(await openDatabase({ databaseUrl: null, folder }), () => new Date(0));
  await saveHostLine(store, samples);
  app = makeApp({ store, uiFolder: null, log: () => {} });
});
afterAll(async () => {
  expect((await store.verify()).faults).toEqual([]);
  await store.close();
  rmSync(folder, { recursive: true });
});

async function ask(method: string, path: string, body?: unknown, headers: Record<string, string> = {}) {
  return app.request(path, {
    method,
    headers: { ...headers, ...(body === undefined ? {} : { "content-type": "application/json" }) },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  });
}
const bodyOf = async (response: Response | Promise<Response>) => (await response).json();
const lot = { name: "Lot 20", material: "garnet", densityGPerCm3: 4.55, bandId: 1, note: "" };
const table = readFileSync(join(samples, "lots/garnet-07/milled.csv"), "utf8");

describe("undo and redo over HTTP", () => {
  test("the demo is where the trail starts, and cannot be undone", async () => {
    const trail = await bodyOf(ask("GET", "/api/trail"));
    expect(trail.undo).toBe(null);
    expect(trail.events.every((e: { kind: string }) => e.kind === "start")).toBe(true);
    expect((await ask("POST", "/api/undo")).status).toBe(409);
  });
  test("what was kept, changed and deleted comes back, with who and why", async () => {
    const who = { "x-by": encodeURIComponent("Zoë Ω"), "x-why": encodeURIComponent("typing slip") };
    const made = await bodyOf(ask("POST", "/api/lots", lot));
    await ask("POST", `/api/lots/${made.lot.id}/measurements`, { stage: "milled", text: table });
    const before = await bodyOf(ask("GET", `/api/lots/${made.lot.id}`));
    expect((await ask("DELETE", `/api/lots/${made.lot.id}`, undefined, who)).status).toBe(204);
    expect((await ask("GET", `/api/lots/${made.lot.id}`)).status).toBe(404);
    const trail = await bodyOf(ask("GET", "/api/trail?limit=1"));
    expect(trail.events).toMatchObject([{ what: 'deleted lot "Lot 20"', by: "Zoë Ω", why: "typing slip" }]);
    expect(trail.undo.seq).toBe(trail.events[0].seq);
    const changed = await bodyOf(ask("GET", `/api/trail/${trail.undo.seq}`));
    expect(changed.changes.length).toBe(6);
    expect((await ask("POST", "/api/undo", { seq: trail.undo.seq - 1 })).status).toBe(409);
    const undone = await bodyOf(ask("POST", "/api/undo", { seq: trail.undo.seq }));
    expect(undone.redo.what).toBe('deleted lot "Lot 20"');
    const after = await bodyOf(ask("GET", `/api/lots/${made.lot.id}`));
    expect(after.measurements.map((m: { name: string }) => m.name)).toEqual(
      before.measurements.map((m: { name: string }) => m.name),
    );
    await ask("POST", "/api/redo");
    expect((await ask("GET", `/api/lots/${made.lot.id}`)).status).toBe(404);
    expect((await ask("GET", "/api/trail/9999")).status).toBe(404);
  });
});

describe("everything kept can be mended and deleted", () => {
  const trial = {
    name: "trial 9",
    trial: { speedRpm: 6100, gasFlowM3PerH: null, feedKgPerH: null, d10Um: null, d50Um: 3, d90Um: null },
  };
  const pair = { stage: "milled", geometricM2PerG: 0.5, betM2PerG: 0.7 };
  test.each([
    ["/api/pairs", () => ({ made: ask("POST", "/api/pairs", pair), changed: { ...pair, betM2PerG: 0.8 } })],
    [
      "/api/pressure-mills",
      () => {
        const mill = {
          name: "Flat mill",
          ratedBar: 9,
          trials: [{ pressureBar: 6, feedKgPerH: null, d50Um: 4 }],
        };
        return { made: ask("POST", "/api/pressure-mills", mill), changed: { ...mill, ratedBar: null } };
      },
    ],
    [
      "/api/balances",
      () => {
        const balance = { name: "5,400 rpm", feed: null, fines: null, coarse: null, fineYield: 0.4 };
        return { made: ask("POST", "/api/balances", balance), changed: { ...balance, fineYield: null } };
      },
    ],
    [
      "/api/logos",
      () => {
        const logo = { name: "works.png", image: "iVBORw0KGgoAAAANSUhEUgAA" };
        return { made: ask("POST", "/api/logos", logo), changed: { ...logo, name: "new works.png" } };
      },
    ],
    [
      "/api/lots",
      () => ({ made: ask("POST", "/api/lots", lot), changed: { ...lot, name: "Lot 20, renamed" } }),
    ],
  ])("%s", async (path, make) => {
    const { made, changed } = make();
    const answer = await bodyOf(made);
    const id = answer.id ?? answer.lot.id;
    const put = await ask("PUT", `${path}/${id}`, changed);
    expect(put.status).toBe(200);
    expect(put.headers.get("etag")).toBe(`"${(await bodyOf(put)).version}"`);
    expect((await ask("DELETE", `${path}/${id}`)).status).toBe(204);
    expect((await ask("PUT", `${path}/${id}`, changed)).status).toBe(404);
    expect((await ask("DELETE", `${path}/${id}`)).status).toBe(404);
  });
  test("a trial is changed and deleted; a mill takes its trials with it", async () => {
    const { id } = await bodyOf(ask("POST", "/api/mills", { name: "Second", mill: await millFile() }));
    await ask("POST", `/api/mills/${id}/trials`, { trials: [trial] });
    const [kept] = (await bodyOf(ask("GET", `/api/mills/${id}/trials`))).trials;
    const changed = { ...trial, name: "trial 9a", curve: null };
    expect((await ask("PUT", `/api/trials/${kept.id}`, changed)).status).toBe(200);
    expect((await bodyOf(ask("GET", `/api/mills/${id}/trials`))).trials[0].name).toBe("trial 9a");
    expect((await ask("DELETE", `/api/mills/${id}`)).status).toBe(204);
    expect((await bodyOf(ask("GET", `/api/mills/${id}/trials`))).trials).toEqual([]);
    await ask("POST", "/api/undo");
    expect((await bodyOf(ask("GET", `/api/mills/${id}/trials`))).trials.length).toBe(1);
  });
  test("a trial is set aside with its reason and counts again; the trail says so", async () => {
    const { id } = await bodyOf(ask("POST", "/api/mills", { name: "Third", mill: await millFile() }));
    await ask("POST", `/api/mills/${id}/trials`, { trials: [trial] });
    const found = async () => (await bodyOf(ask("GET", `/api/mills/${id}/trials`))).trials[0];
    const { id: trialId } = await found();
    const aside = { ...trial, asideBecause: "the scale stood askew" };
    expect((await ask("PUT", `/api/trials/${trialId}`, aside)).status).toBe(200);
    expect((await found()).asideBecause).toBe("the scale stood askew");
    expect((await bodyOf(ask("GET", "/api/trail"))).events[0].what).toMatch(/excluded trial/);
    expect((await ask("PUT", `/api/trials/${trialId}`, { ...trial, asideBecause: " " })).status).toBe(422);
    await ask("PUT", `/api/trials/${trialId}`, trial);
    expect((await found()).asideBecause).toBeNull();
  });
  test("beliefs and a batch stand once for their mill and lot, null takes them away, undo brings them back", async () => {
    const priors = {
      medianOverCut: 0.6,
      medianSd: 0.5,
      speed: { mean: -1.1, sd: 0.2 },
      flow: { mean: 0.4, sd: 0.2 },
      feed: { mean: 0, sd: 0.1 },
      noise: 0.04,
    };
    const belief = { priors, leftOutLots: [3] };
    const batch = {
      afterMin: 30,
      d50AfterUm: 6,
      targetD50Um: null,
      rateExponent: 1,
      fragmentExponent: 1.4,
    };
    for (const [path, list, body] of [
      ["/api/mills/1/belief", "beliefs", belief],
      ["/api/mills/1/materials/1", "beliefs", { ...belief, grindingLimitUm: 0.6 }],
      ["/api/lots/1/batches/crushed", "batches", batch],
    ] as const) {
      const listed = async () => (await bodyOf(ask("GET", `/api/${list}`)))[list];
      expect((await ask("PUT", path, body)).status).toBe(200);
      expect(await listed()).toMatchObject([body]);
      const [{ version }] = await listed();
      // Whoever saw nothing noted yet does not write over what was noted meanwhile.
      const first = await ask("PUT", path, null);
      expect(first.status).toBe(412);
      expect((await first.json()).theirs).toMatchObject({ version, body });
      expect((await ask("PUT", path, body, { "if-match": `"${version}"` })).status).toBe(200);
      expect((await ask("PUT", path, null, { "if-match": `"${version - 1}"` })).status).toBe(412);
      expect((await ask("PUT", path, null, { "if-match": `"${version}"` })).status).toBe(200);
      expect(await listed()).toEqual([]);
      await ask("POST", "/api/undo");
      expect(await listed()).toMatchObject([body]);
      // Each stands alone in its list while it is looked at.
      const [again] = await listed();
      expect((await ask("PUT", path, null, { "if-match": `"${again.version}"` })).status).toBe(200);
    }
    expect((await ask("PUT", "/api/mills/99/belief", belief)).status).toBe(404);
    expect((await ask("PUT", "/api/mills/1/materials/99", belief)).status).toBe(404);
    const without = { ...belief, grindingLimitUm: 0 };
    expect((await ask("PUT", "/api/mills/1/materials/1", without)).status).toBe(422);
    expect(
      (await ask("PUT", "/api/mills/1/belief", { ...belief, priors: { ...priors, noise: 0 } })).status,
    ).toBe(422);
  });
  test("a run is renamed, moved and set aside with its reason", async () => {
    const run = { name: "run A", stage: "re-fired", asideBecause: "bubble" };
    expect((await ask("PUT", "/api/measurements/1", run)).status).toBe(200);
    const found = (await bodyOf(ask("GET", "/api/lots/1"))).measurements;
    expect(found.find((m: { id: number }) => m.id === 1)).toMatchObject(run);
    expect((await ask("PUT", "/api/measurements/1", { ...run, asideBecause: "  " })).status).toBe(422);
    await ask("POST", "/api/undo");
  });
});

describe("two people", () => {
  test("the second one's change is refused with both versions; against the present version it is taken", async () => {
    const made = await ask("POST", "/api/lots", lot);
    const etag = made.headers.get("etag") ?? "";
    const { id } = (await bodyOf(made)).lot;
    const change = (note: string, version: string) =>
      ask("PUT", `/api/lots/${id}`, { ...lot, note }, { "if-match": version });
    const first = await change("hers", etag);
    expect(first.status).toBe(200);
    const second = await change("his", etag);
    expect(second.status).toBe(412);
    const { detail, theirs } = await bodyOf(second);
    expect(detail).toMatch(/changed by someone else/);
    expect(theirs.body.note).toBe("hers");
    expect((await change("his", `"${theirs.version}"`)).status).toBe(200);
    expect((await ask("GET", `/api/lots/${id}`)).headers.get("etag")).not.toBe(first.headers.get("etag"));
    expect((await change("x", "five")).status).toBe(412);
    expect((await change("any", "*")).status).toBe(200);
    expect((await ask("DELETE", `/api/lots/${id}`, undefined, { "if-match": etag })).status).toBe(412);
  });
  test("repeating a POST with its key makes no duplicate", async () => {
    const key = { "idempotency-key": "a-key-of-its-own" };
    const [a, b] = await Promise.all([
      ask("POST", "/api/lots", lot, key).then(bodyOf),
      ask("POST", "/api/lots", lot, key).then(bodyOf),
    ]);
    expect(b).toEqual(a);
    const otherBody = await ask("POST", "/api/lots", { ...lot, name: "Other" }, key);
    expect(otherBody.status).toBe(422);
    const brought = { stage: "milled", text: table };
    const bring = () =>
      ask("POST", `/api/lots/${a.lot.id}/measurements`, brought, { "idempotency-key": "b" });
    expect(await bodyOf(bring())).toEqual(await bodyOf(bring()));
    expect((await bodyOf(ask("GET", `/api/lots/${a.lot.id}`))).measurements.length).toBe(4);
    // What was made and deleted since is neither made again nor said to be there.
    await ask("DELETE", `/api/lots/${a.lot.id}`);
    const late = await ask("POST", "/api/lots", lot, key);
    expect(late.status).toBe(409);
    expect((await bodyOf(late)).detail).toContain(
      `This request was saved as lot ${a.lot.id} when it first came, and that was deleted since.`,
    );
    await ask("POST", "/api/undo");
    expect((await bodyOf(ask("POST", "/api/lots", lot, key))).lot.id).toBe(a.lot.id);
  });
});

async function millFile(): Promise<unknown> {
  return JSON.parse(readFileSync(join(samples, "mill/mill.json"), "utf8"));
}
