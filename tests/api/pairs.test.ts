import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { makeApp } from "../../api/app.ts";
import { openDatabase } from "../../api/store/database.ts";
import { ownDoing } from "../../api/store/ledger.ts";
import { makeStore, type Store } from "../../api/store/store.ts";

const folder = mkdtempSync(join(tmpdir(), "fineband-pairs-"));
let store: Store;
let app: ReturnType<typeof makeApp>;

beforeAll(async () => {
  store = makeStore(await openDatabase({ databaseUrl: null, folder }), () => new Date(0));
  app = makeApp({ store, uiFolder: null, log: () => {} });
});
afterAll(async () => {
  expect((await store.verify()).faults).toEqual([]);
  await store.close();
  rmSync(folder, { recursive: true });
});

const ask = (method: string, path: string, body: unknown) =>
  app.request(path, {
    method,
    body: JSON.stringify(body),
    headers: { "content-type": "application/json" },
  });
const bare = { stage: "re-fired", geometricM2PerG: 0.47, betM2PerG: 0.6 };
const noted = {
  ...bare,
  instrument: "cell B",
  optics: "Mie 1.83, 0.01",
  dopantClass: "cerium",
  measuredOn: "2026-11-20",
  densityGPerCm3: 4.55,
};

test("a pair keeps how it was measured, through a change, a JSON copy and a folder of tables", async () => {
  expect((await ask("POST", "/api/pairs", bare)).status).toBe(201);
  expect((await ask("POST", "/api/pairs", noted)).status).toBe(201);
  const kept = async () => (await store.pairs()).pairs.map(({ id: _, version: __, ...pair }) => pair);
  expect(await kept()).toEqual([bare, noted]);
  const [copy, tables] = [await store.copy(), await store.copyTables()];
  const changed = await ask("PUT", "/api/pairs/2", { ...bare, instrument: "cell C" });
  expect(changed.status).toBe(200);
  expect(await kept()).toEqual([bare, { ...bare, instrument: "cell C" }]);
  await store.bringBack(copy, ownDoing);
  expect(await kept()).toEqual([bare, noted]);
  await store.removePair(2, null, ownDoing);
  await store.bringBackTables(tables, ownDoing);
  expect(await kept()).toEqual([bare, noted]);
});

test("a band's specification of the BET area comes back from a copy and from tables", async () => {
  const band = {
    version: 1 as const,
    name: "b",
    stage: "milled",
    densityGPerCm3: 4.5,
    rule: "simple" as const,
  };
  await store.keepBand({ ...band, rows: [], envelope: null, betM2PerG: { low: 0.5, high: null } }, ownDoing);
  await store.keepBand({ ...band, name: "c", rows: [], envelope: null }, ownDoing);
  const kept = async () => (await store.bands()).bands.map((b) => b.band.betM2PerG);
  const tables = await store.copyTables();
  await store.removeBand(1, null, ownDoing);
  await store.removeBand(2, null, ownDoing);
  await store.bringBackTables(tables, ownDoing);
  expect(await kept()).toEqual([{ low: 0.5, high: null }, undefined]);
});

test("a density that is none is refused", async () => {
  expect((await ask("POST", "/api/pairs", { ...bare, densityGPerCm3: -1 })).status).toBe(422);
});
