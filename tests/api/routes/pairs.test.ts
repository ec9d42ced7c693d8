import { afterAll, beforeAll, expect, test } from "vitest";
import { ownDoing } from "../../../api/store/ledger/ledger.ts";
import { type KeptHere, keepHere } from "../saved.ts";

let here: KeptHere;

beforeAll(async () => {
  here = await keepHere();
});
afterAll(() => here.close());

const ask: KeptHere["ask"] = (...asked) => here.ask(...asked);
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
  const kept = async () =>
    (await here.store.entries("pair")).entries.map(({ id: _, version: __, ...pair }) => pair);
  expect(await kept()).toEqual([bare, noted]);
  const [copy, tables] = [await here.store.copy(), await here.store.copyTables()];
  const changed = await ask("PUT", "/api/pairs/2", { ...bare, instrument: "cell C" });
  expect(changed.status).toBe(200);
  expect(await kept()).toEqual([bare, { ...bare, instrument: "cell C" }]);
  await here.store.importCopy(copy, ownDoing);
  expect(await kept()).toEqual([bare, noted]);
  await here.store.removeEntry("pair", 2, null, ownDoing);
  await here.store.importTables(tables, ownDoing);
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
  await here.store.keepBand(
    { ...band, rows: [], envelope: null, betM2PerG: { low: 0.5, high: null } },
    ownDoing,
  );
  await here.store.keepBand({ ...band, name: "c", rows: [], envelope: null }, ownDoing);
  const kept = async () => (await here.store.bands()).bands.map((b) => b.band.betM2PerG);
  const tables = await here.store.copyTables();
  await here.store.removeBand(1, null, ownDoing);
  await here.store.removeBand(2, null, ownDoing);
  await here.store.importTables(tables, ownDoing);
  expect(await kept()).toEqual([{ low: 0.5, high: null }, undefined]);
});

test("a density that is none is refused", async () => {
  expect((await ask("POST", "/api/pairs", { ...bare, densityGPerCm3: -1 })).status).toBe(422);
});
