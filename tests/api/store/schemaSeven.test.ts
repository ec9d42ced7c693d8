import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import Database from "libsql";
import { afterAll, expect, test } from "vitest";
import { openDatabase } from "../../../api/store/database/database.ts";
import { makeStore } from "../../../api/store/store.ts";

// A store as the seventh schema kept it: four lots, three of them measured and summarised, before the list held figures.
const earlier = readFileSync(fileURLToPath(new URL("earlier/schema7.sql", import.meta.url)), "utf8");
/** What the code of then answered from it, sorted by D50, the finest first; old now, since less was computed then. */
const answeredThen = [
  [3, "milled", "in band", 1.936999999842627, true],
  [2, "milled", "in band", 2.0971396464872845, true],
  [1, "milled", "in band", 2.2434211576129144, true],
  [4, undefined, undefined, undefined, undefined],
];

const folder = mkdtempSync(join(tmpdir(), "fineband-earlier-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

test("a store of the seventh schema lists what was computed as before, until it is computed anew", async () => {
  const file = new Database(join(folder, "fineband.sqlite"));
  file.exec(earlier);
  file.close();
  const db = await openDatabase({ databaseUrl: null, folder });
  const store = makeStore(db, () => new Date(0));
  const { lots, damaged } = await store.lots({ sort: "d50", direction: "ascending", limit: 10 });
  expect(damaged).toEqual([]);
  const answered = lots.map(({ id, summary }) => [
    id,
    summary?.stage,
    summary?.verdict,
    summary?.d50Um?.value,
    summary?.stale,
  ]);
  expect(answered).toEqual(answeredThen);
  expect((await store.lots({ verdict: "in band", d50ToUm: 2.1, limit: 10 })).total).toBe(2);
  expect((await store.verify()).faults).toEqual([]);
  await store.close();
});
