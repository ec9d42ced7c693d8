import { mkdirSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import Database from "libsql";
import { afterEach, expect, test } from "vitest";
import { openDatabase } from "../../../api/store/database/database.ts";
import { makeStore } from "../../../api/store/store.ts";

const earlier = readFileSync(fileURLToPath(new URL("earlier/schema1.sql", import.meta.url)), "utf8");
const folder = mkdtempSync(join(tmpdir(), "fineband-earlier-"));
afterEach(() => rmSync(folder, { recursive: true, force: true }));

function fill(statements: string): Database.Database {
  mkdirSync(folder, { recursive: true });
  const file = new Database(join(folder, "fineband.sqlite"));
  file.exec(statements);
  return file;
}

test("a store of the first schema opens with all it held, and goes on from there", async () => {
  fill(earlier).close();
  const db = await openDatabase({ databaseUrl: null, folder });
  const store = makeStore(db, () => new Date(0));
  const { lots, damaged } = await store.lots();
  expect(damaged).toEqual([]);
  expect(lots.map((l) => [l.id, l.name, l.stages])).toEqual([
    [
      1,
      "Garnet host, lot 07",
      [
        { stage: "milled", runs: 2 },
        { stage: "re-fired", runs: 2 },
      ],
    ],
    [4, "Reference powder", []],
  ]);
  const lot = await store.lot(1);
  expect(lot?.measurements.map((m) => [m.id, m.name, m.file])).toEqual([
    [7, "run 1", "milled.csv"],
    [8, "run 2", "milled.csv"],
    [11, "run 1", "re-fired.csv"],
    [12, "run 2", "re-fired.csv"],
  ]);
  const kept = /values \(7, 1, 'milled', 'run 1', 3, '(\{.*?\})'\)/.exec(earlier)?.[1] ?? "";
  expect(JSON.stringify(lot?.measurements[0]?.distribution)).toBe(kept);
  expect((await store.importOf(7))?.body.text.length).toBeGreaterThan(1000);
  expect((await store.bands()).bands.map((b) => b.band.name)).toEqual(["Garnet target"]);
  expect((await store.mills()).mills.map((m) => m.name)).toEqual(["Pilot jet mill"]);
  expect((await store.trials(1)).trials.map((t) => [t.id, t.curve !== null])).toEqual([
    [1, false],
    [2, true],
  ]);
  expect((await store.entries("pair")).entries.length).toBe(5);
  expect((await store.verify()).faults).toEqual([]);
  expect((await store.history()).undo).toBe(null);
  const made = await store.keepLot(
    { name: "New", material: "", densityGPerCm3: 4, bandId: null, note: "" },
    { kind: "change", by: "", why: "", request: null },
  );
  expect(made.made).toEqual([{ kind: "lot", id: 5 }]);
  await store.close();
});

test("what was damaged in it is reported, and nothing else is lost", async () => {
  fill(earlier.replace('"lowerUm":[0.05', '"lowerUm":[-0.05')).close();
  const store = makeStore(await openDatabase({ databaseUrl: null, folder }), () => new Date(0));
  const lot = await store.lot(1);
  expect(lot?.damaged.map((d) => d.id)).toEqual([7]);
  expect(lot?.measurements.length).toBe(3);
  await store.close();
});

test("a store of a later schema is left alone, with words", async () => {
  fill("pragma user_version = 99").close();
  await expect(openDatabase({ databaseUrl: null, folder })).rejects.toThrow(/later version/);
});
