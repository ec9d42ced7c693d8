import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import Database from "libsql";
import { afterEach, beforeEach, expect, test } from "vitest";
import { openDatabase, type Whereabouts } from "../../../api/store/database/database.ts";
import { ownDoing } from "../../../api/store/ledger/ledger.ts";
import { openStore } from "../../../api/store/openStore.ts";
import { makeStore, type Store } from "../../../api/store/store.ts";
import { backupsIn } from "../../../api/store/transfer/keptBackups.ts";

// What the code of then answered from each store, sorted as said: lot, stage shown, verdict, D50 in µm.
const unknown = [undefined, undefined, undefined];

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "fineband-earlier-"));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const clock = () => new Date(0);
const bare = async (at: Whereabouts): Promise<Store> => makeStore(await openDatabase(at), clock);

/** A store as an earlier schema kept it, brought up to date. */
async function opened(name: string, open: typeof openStore = bare): Promise<Store> {
  const file = new Database(join(folder, "fineband.sqlite"));
  file.exec(readFileSync(fileURLToPath(new URL(`earlier/${name}.sql`, import.meta.url)), "utf8"));
  file.close();
  return open({ databaseUrl: null, folder }, clock);
}

async function listed(store: Store, asked: Parameters<Store["lots"]>[0]) {
  const { lots, damaged } = await store.lots({ limit: 10, ...asked });
  expect(damaged).toEqual([]);
  return lots.map(({ id, summary }) => [id, summary?.stage, summary?.verdict, summary?.d50Um?.value]);
}

test("a store of the seventh schema, whose list held no figures, lists what was computed until it is computed anew", async () => {
  const store = await opened("schema7");
  expect(await listed(store, { sort: "d50", direction: "ascending" })).toEqual([
    [3, "milled", "in band", 1.936999999842627],
    [2, "milled", "in band", 2.0971396464872845],
    [1, "milled", "in band", 2.2434211576129144],
    [4, ...unknown],
  ]);
  // Old now, since less was computed then.
  const { lots } = await store.lots({ limit: 3, sort: "d50", direction: "ascending" });
  expect(lots.map(({ summary }) => summary?.stale)).toEqual([true, true, true]);
  expect((await store.lots({ verdict: "in band", d50ToUm: 2.1, limit: 10 })).total).toBe(2);
  expect((await store.verify()).faults).toEqual([]);
  await store.close();
});

test("before an earlier schema is changed a backup is made of it, which can be brought back", async () => {
  const store = await opened("schema7", openStore);
  const last = store.lastBackup();
  expect(last?.name).toMatch(/-before-migration\.jsonl$/);
  const copy = await store.copy();
  await store.close();
  const again = makeStore(await openDatabase({ databaseUrl: null, folder: join(folder, "again") }), clock);
  await again.restore(readFileSync(join(folder, "backups", last?.name ?? ""), "utf8"), ownDoing);
  expect(await again.copy()).toBe(copy);
  await again.close();
  const once = await openStore({ databaseUrl: null, folder }, clock);
  expect(backupsIn(join(folder, "backups"))).toHaveLength(1);
  await once.close();
});

test.each([
  ["eighth", "schema8", "whose stages and verdicts had no index"],
  ["tenth", "schema10", "which had no place for photographs"],
])("a store of the %s schema (%s), %s, lists the same in the same order", async (_, name) => {
  const store = await opened(name);
  const milled = [
    [2, "milled", "in band", 1.9725471008406539],
    [1, "milled", "in band", 2.0335537122068597],
    [3, "milled", "out of band", 2.6220709892066076],
    [4, ...unknown],
  ];
  expect(await listed(store, { sort: "d50", direction: "ascending" })).toEqual(milled);
  expect(await listed(store, { stage: "milled", sort: "d50", direction: "ascending" })).toEqual(milled);
  expect(await listed(store, { sort: "verdict", direction: "descending" })).toEqual(milled);
  const fired = await listed(store, { stage: "re-fired", sort: "d50", direction: "descending" });
  expect(fired.slice(0, 2)).toEqual([
    [3, "re-fired", "out of band", 3.0153816375875984],
    [1, "re-fired", "out of band", 2.3385867690378883],
  ]);
  expect((await store.lots({ stage: "milled", verdict: "in band", limit: 10 })).total).toBe(2);
  expect((await store.verify()).faults).toEqual([]);
  await store.close();
});
