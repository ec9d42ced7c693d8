import { cpSync, existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from "vitest";
import { saveHostLine } from "../../api/demo.ts";
import { type Labs, openLabs } from "../../api/labs.ts";
import { makeLabsApp } from "../../api/labsApp.ts";
import { openSaved } from "../../api/openSaved.ts";
import { openDatabase } from "../../api/store/database/database.ts";
import { ownDoing } from "../../api/store/ledger/ledger.ts";
import { fillUnused, makeStore } from "../../api/store/store.ts";
import { describeStore } from "./store/engines.ts";

const samples = fileURLToPath(new URL("../../distributions/samples", import.meta.url));
const clock = () => new Date(0);
const lot = { name: "Mine", material: "own oxide", densityGPerCm3: 4.7, bandId: null, note: "" };

let folder: string;
let open: Labs[];
let begun: string;
beforeAll(async () => {
  begun = mkdtempSync(join(tmpdir(), "fineband-begun-"));
  await (await openLabs({ databaseUrl: null, folder: begun }, samples)).close();
}, 600_000);
afterAll(() => rmSync(begun, { recursive: true, force: true }));
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "fineband-labs-"));
  open = [];
});
afterEach(async () => {
  for (const labs of open) await labs.close();
  rmSync(folder, { recursive: true, force: true });
});

/** A folder in which a server was started once and nothing done. */
const begin = () => cpSync(begun, folder, { recursive: true });

async function start() {
  const labs = await openLabs({ databaseUrl: null, folder }, samples);
  open.push(labs);
  const app = makeLabsApp(labs, { uiFolder: null, log: () => undefined });
  const ask = async (method: string, path: string, body?: unknown) =>
    app.fetch(
      new Request(`http://127.0.0.1${path}`, {
        method,
        ...(body === undefined
          ? {}
          : { headers: { "content-type": "application/json" }, body: JSON.stringify(body) }),
      }),
    );
  const names = async (path: string) => {
    const { lots }: { lots: { name: string }[] } = await (await ask("GET", path)).json();
    return lots.map((each) => each.name);
  };
  const state = async (path: string) => (await ask("GET", path)).json();
  return { labs, ask, names, state };
}

describe("two labs at one server", () => {
  test("until the own one is started, the demo answers everywhere", async () => {
    begin();
    const { names, state } = await start();
    expect(await state("/api/lab")).toEqual({ shown: "demo", isOwnStarted: false, hasDemo: true });
    expect(await names("/api/lots")).toContain("Garnet host, lot 07");
    expect(await names("/demo/api/lots")).toEqual(await names("/api/lots"));
  });

  test("started, the own lab is empty, and what is saved in one is not in the other", async () => {
    begin();
    const { ask, names, state } = await start();
    const demo = await names("/api/lots");
    expect(await (await ask("POST", "/api/lab")).json()).toEqual({
      shown: "own",
      isOwnStarted: true,
      hasDemo: true,
    });
    expect(await names("/api/lots")).toEqual([]);
    expect((await ask("POST", "/api/lots", lot)).status).toBe(201);
    expect((await ask("POST", "/demo/api/lots", { ...lot, name: "Tried" })).status).toBe(201);
    expect(await names("/api/lots")).toEqual(["Mine"]);
    expect(await names("/demo/api/lots")).toEqual([...demo, "Tried"]);
    expect(await state("/demo/api/lab")).toEqual({ shown: "demo", isOwnStarted: true, hasDemo: true });
    // Asked again, it is as it was.
    await ask("POST", "/api/lab");
    expect(await names("/api/lots")).toEqual(["Mine"]);
    const { events } = await (await ask("GET", "/api/trail")).json();
    expect(events.map((event: { what: string }) => event.what)).toEqual([
      'saved lot "Mine"',
      "started this lab",
    ]);
    expect((await (await ask("GET", "/api/verify")).json()).faults).toEqual([]);
  });

  test("an empty own lab is still the own one after the next start", async () => {
    begin();
    const { labs } = await start();
    await labs.start();
    const { state, names } = await start();
    expect((await state("/api/lab")).shown).toBe("own");
    expect(await names("/api/lots")).toEqual([]);
    expect((await names("/demo/api/lots")).length).toBeGreaterThan(5);
  });

  test("another server on the folder sees that it was started", async () => {
    begin();
    const [first, second] = [await start(), await start()];
    await first.ask("POST", "/api/lab");
    expect((await second.state("/api/lab")).shown).toBe("own");
  });

  test("/demo leads to the page of the demo", async () => {
    begin();
    const { ask } = await start();
    const response = await ask("GET", "/demo");
    expect([response.status, response.headers.get("location")]).toEqual([308, "/demo/"]);
  });

  test("a lab that was used before never gets the demo, not even beside it", async () => {
    const store = makeStore(await openDatabase({ databaseUrl: null, folder }), clock);
    await store.keepLot(lot, ownDoing);
    await store.close();
    const { ask, names, state } = await start();
    expect(await names("/api/lots")).toEqual(["Mine"]);
    expect(await state("/api/lab")).toEqual({ shown: "own", isOwnStarted: true, hasDemo: false });
    expect((await ask("GET", "/demo/api/lots")).status).toBe(404);
    expect(existsSync(join(folder, "demo.sqlite"))).toBe(false);
  });

  test("a lab from which everything was deleted was used all the same", async () => {
    const store = makeStore(await openDatabase({ databaseUrl: null, folder }), clock);
    await store.keepLot(lot, ownDoing);
    await store.removeLot(1, null, ownDoing);
    await store.close();
    const { names } = await start();
    expect(await names("/api/lots")).toEqual([]);
  });
});

describe("two labs for the command line", () => {
  const told: string[] = [];
  const at = (which?: "demo" | "own") =>
    openSaved(
      { environment: { FINEBAND_DATA: folder }, usualFolder: "", samples, tell: (text) => told.push(text) },
      which,
    );
  const total = async (which?: "demo" | "own") => {
    const store = await at(which);
    const { total: count } = await store.lots({ limit: 1 });
    await store.close();
    return count;
  };

  test("it answers from what the page shows, and from the demo where asked", async () => {
    begin();
    const demo = await total();
    expect(demo).toBe(37);
    // Nobody takes the demo's answer, or a backup of it, for their own lab's.
    expect(told).toEqual([expect.stringMatching(/not started yet, so this is of the demo/)]);
    expect(await total("own")).toBe(0);
    const { labs } = await start();
    await labs.start();
    expect(await total()).toBe(0);
    expect(await total("demo")).toBe(demo);
    expect(told).toHaveLength(1);
  });

  test("where there is no demo, asking for it is refused with what would help", async () => {
    const store = makeStore(await openDatabase({ databaseUrl: null, folder }), clock);
    await store.begin();
    await store.close();
    await expect(at("demo")).rejects.toThrow(/no demo here.*empty folder/);
  });
});

describeStore("a first start", (openStore, on) => {
  test("that fails on the way leaves nothing, and the next one does it all", async () => {
    const { db, store, done } = await openStore();
    await expect(
      fillUnused(db, clock, async (inside) => {
        await saveHostLine(inside, samples);
        throw new Error("power cut");
      }),
    ).rejects.toThrow("power cut");
    expect(await store.isEmpty()).toBe(true);
    expect(await fillUnused(db, clock, (inside) => saveHostLine(inside, samples))).toBe(true);
    expect((await store.verify()).faults).toEqual([]);
    expect(await fillUnused(db, clock, (inside) => saveHostLine(inside, samples))).toBe(false);
    await done();
  });

  // On a file one waits for the other without giving the processor back: there it takes two processes, as in tests/hard.
  test.runIf(on === "PostgreSQL")("of two at once is done by one", async () => {
    const first = await openStore();
    const second = await first.again();
    const fill = ({ db }: typeof first) => fillUnused(db, clock, (inside) => saveHostLine(inside, samples));
    const did = await Promise.all([fill(first), fill(second)]);
    expect(did.filter(Boolean).length).toBe(1);
    expect(await first.store.copy()).toBe(await second.store.copy());
    expect((await first.store.verify()).faults).toEqual([]);
    await second.db.destroy();
    await first.done();
  });
});
