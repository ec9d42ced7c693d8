import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { makeApp } from "../../api/app.ts";
import { saveHostLine } from "../../api/demo.ts";
import { openDatabase } from "../../api/store/database/database.ts";
import { makeStore } from "../../api/store/store.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));
const samples = join(root, "distributions/samples");
const folder = mkdtempSync(join(tmpdir(), "fineband-api-"));
const open = async () => makeStore(await openDatabase({ databaseUrl: null, folder }), () => new Date(0));
const appOf = (store: Awaited<ReturnType<typeof open>>) => makeApp({ store, uiFolder: null, log: () => {} });
let store: Awaited<ReturnType<typeof open>>;
let app: ReturnType<typeof appOf>;

beforeAll(async () => {
  store = await open();
  await saveHostLine(store, samples);
  app = appOf(store);
});
afterAll(async () => {
  await store.close();
  rmSync(folder, { recursive: true });
});

const post = (path: string, body: unknown) =>
  app.request(path, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: typeof body === "string" ? body : JSON.stringify(body),
  });
const bodyOf = async (response: Response | Promise<Response>) => (await response).json();
const text = readFileSync(join(samples, "lots/garnet-07/re-fired.csv"), "utf8");
const band = JSON.parse(readFileSync(join(samples, "bands/garnet-target.json"), "utf8"));
const mill = JSON.parse(readFileSync(join(samples, "mill/mill.json"), "utf8"));

describe("the six questions over HTTP", () => {
  test("describe, fit, check, compare, surface and wheel answer", async () => {
    expect(
      (
        await bodyOf(
          post("/api/describe", { text, options: { densityGPerCm3: 4.55, percentiles: [10, 50] } }),
        )
      ).measurements.length,
    ).toBe(6);
    expect((await bodyOf(post("/api/fit", { text }))).fits.length).toBe(36);
    expect((await bodyOf(post("/api/check", { text, band }))).verdict).toBe("in band");
    expect((await bodyOf(post("/api/compare", { a: { text }, b: { text } }))).overlap).toBeCloseTo(1, 12);
    expect(
      (await bodyOf(post("/api/surface", { text, options: { density: 4.55 } }))).measurements.length,
    ).toBe(6);
    expect(
      (
        await bodyOf(
          post("/api/wheel", {
            mill,
            trials: readFileSync(join(samples, "mill/trials.csv"), "utf8"),
            options: { "target-d50": 3 },
          }),
        )
      ).speedRpm.median,
    ).toBeGreaterThan(5000);
  });
  test("a lot against two parents, the shares in every form that a request may have", async () => {
    const lots = [
      { text },
      { text },
      { text: readFileSync(join(samples, "lots/garnet-07/milled.csv"), "utf8") },
    ];
    const asked = async (options: object) => {
      const response = await post("/api/parents", { lots, options });
      return { status: response.status, ...(await bodyOf(response)) };
    };
    const wanted = await asked({ shares: [60, 40], taken: ["re-fired", "milled"] });
    expect(wanted).toMatchObject({ status: 200, kind: "blend" });
    for (const shares of ["60,40", "0.6, 0.4", [0.6, 0.4], ["60", "40"]])
      expect(await asked({ shares })).toMatchObject({ status: 200, predictedUm: wanted.predictedUm });
    expect(await asked({ "--shares": "60,40" })).toMatchObject({
      status: 200,
      predictedUm: wanted.predictedUm,
    });
    expect(await asked({ shares: 60 })).toMatchObject({
      status: 422,
      detail: "A lot of 2 parents needs the share of each: --shares 60,40.",
    });
  });
  test("rows of cells serve as well as text", async () => {
    const rows = [
      ["lower_um", "upper_um", "volume %"],
      [1, 2, 40],
      [2, 4, 60],
    ];
    expect((await post("/api/describe", { rows })).status).toBe(200);
  });
});

describe("bad input is a clear problem, and nothing is kept", () => {
  test.each([
    "",
    "words",
    "lower_um,upper_um,volume %\n1,2,43\n2,4,50\n",
    "lower_um,upper_um,volume %\n1,2,100\n",
  ])("table %j", async (bad) => {
    const before = await bodyOf(app.request("/api/lots/1"));
    const response = await post("/api/lots/1/measurements", { stage: "milled", text: bad });
    expect(response.status).toBe(422);
    expect((await response.json()).problems[0].message.length).toBeGreaterThan(20);
    expect(await bodyOf(app.request("/api/lots/1"))).toEqual(before);
  });
  test.each([
    ["/api/describe", "{bad", 400],
    ["/api/describe", { text, options: { colour: "red" } }, 422],
    ["/api/lots", { name: "", densityGPerCm3: 4 }, 422],
    ["/api/lots", { name: "x", densityGPerCm3: -4 }, 422],
    ["/api/bands", { version: 2 }, 422],
    ["/api/lots/99/measurements", { stage: "milled", text }, 404],
    ["/api/nothing", {}, 404],
  ])("%s with %j is %i with problem details", async (path, body, status) => {
    const response = await post(path, body);
    expect(response.status).toBe(status);
    expect((await response.json()).detail.length).toBeGreaterThan(5);
  });
});

describe("keeping", () => {
  test("what is kept is there after a restart", async () => {
    const { lot } = await bodyOf(post("/api/lots", { name: "Lot 10", densityGPerCm3: 4.55, bandId: 1 }));
    const kept = await post(`/api/lots/${lot.id}/measurements`, {
      stage: "re-fired",
      file: "lot-10.csv",
      text,
    });
    expect(kept.status).toBe(201);
    await post("/api/pairs", { stage: "milled", geometricM2PerG: 0.5, betM2PerG: 0.7 });
    await post("/api/mills/1/trials", {
      trials: [
        {
          name: "trial 9",
          trial: {
            speedRpm: 6000,
            gasFlowM3PerH: null,
            feedKgPerH: null,
            d10Um: null,
            d50Um: 3,
            d90Um: null,
          },
        },
      ],
    });
    const seen = await bodyOf(app.request(`/api/lots/${lot.id}`));
    await store.close();
    store = await open();
    app = appOf(store);
    expect(await bodyOf(app.request(`/api/lots/${lot.id}`))).toEqual(seen);
    expect(seen.measurements.length).toBe(6);
    expect((await bodyOf(app.request("/api/pairs"))).pairs.length).toBe(6);
    expect((await bodyOf(app.request("/api/mills/1/trials"))).trials.length).toBe(9);
  });
  test("a band is changed in place and an unknown one is not found", async () => {
    const put = (id: number) =>
      app.request(`/api/bands/${id}`, {
        method: "PUT",
        headers: { "content-type": "application/json" },
        body: JSON.stringify({ ...band, name: "Changed" }),
      });
    expect((await put(1)).status).toBe(200);
    expect((await bodyOf(app.request("/api/bands"))).bands[0].band.name).toBe("Changed");
    expect((await put(99)).status).toBe(404);
  });
  test("health and the document answer", async () => {
    expect(await bodyOf(app.request("/api/health"))).toMatchObject({
      status: "ready",
      isWritable: true,
      lastBackup: null,
      backupsCheckedAt: null,
      freeBytes: expect.any(Number),
    });
    const document = await bodyOf(app.request("/api/openapi.json"));
    expect(Object.keys(document.paths)).toContain("/api/lots/{id}/measurements");
  });
});
