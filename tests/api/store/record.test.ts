import { afterEach, beforeEach, expect, test } from "vitest";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import type { ChangeContext } from "../../../api/store/ledger/ledger.ts";
import { describeStore, type Opened } from "./engines.ts";

const someone: ChangeContext = { kind: "change", by: "Ana", why: "a test", request: null };
const lot = { name: "Lot 1", material: "garnet", densityGPerCm3: 4.55, bandId: null, note: "" };
const pair = { stage: "milled", geometricM2PerG: 0.5, betM2PerG: 0.7 };
const curve = sizeDistribution({ quantity: "volume", lowerUm: [1, 2], upperUm: [2, 4], shares: [0.4, 0.6] });
const table = { file: "a.csv", text: "as received", options: {} };
const runs = ["run 1", "run 2"].map((name) => ({ name, file: null, distribution: curve }));

describeStore("the record", (open) => {
  let opened: Opened;
  beforeEach(async () => {
    opened = await open();
  });
  afterEach(async () => {
    expect((await opened.store.verify()).faults).toEqual([]);
    await opened.done();
  });

  test("each change is an event with who, why and both sides", async () => {
    const { store } = opened;
    await store.keepLot(lot, someone);
    await store.changeLot(1, { ...lot, name: "Lot 1a" }, null, someone);
    await store.removeLot(1, null, someone);
    const trail = await store.changeHistory(null, 10);
    expect(trail.map((e) => [e.seq, e.what, e.by, e.why])).toEqual([
      [3, 'deleted lot "Lot 1a"', "Ana", "a test"],
      [2, 'renamed lot "Lot 1" to "Lot 1a"', "Ana", "a test"],
      [1, 'saved lot "Lot 1"', "Ana", "a test"],
    ]);
    expect(await store.changes(2)).toMatchObject([
      { kind: "lot", id: 1, before: { name: "Lot 1" }, after: { name: "Lot 1a" } },
    ]);
  });

  test("a run or a lot that is gone from the entries is marked where it is missing, and brought back by mending", async () => {
    const { store, db } = opened;
    await store.keepLot(lot, someone);
    await store.keepMeasurements({ lotId: 1, stage: "milled" }, runs, table, someone);
    expect((await store.lot(1))?.damaged).toEqual([]);
    const run = db.updateTable("entries").where("kind", "=", "measurement").where("id", "=", 2);
    for (const lose of [run.set({ parent: 65 }), run.set({ kind: "measuremunt" })]) {
      await lose.execute();
      expect((await store.lot(1))?.damaged).toEqual([
        {
          kind: "lot",
          id: 1,
          message: expect.stringMatching(/^Lot 1 has other runs than are counted of it/),
        },
      ]);
      await expect(store.onSheet(1, null)).rejects.toThrow(/other runs/);
      await store.mend();
      expect((await store.lot(1))?.measurements).toHaveLength(2);
      expect((await store.verify()).faults).toEqual([]);
    }
    await db.deleteFrom("entries").where("kind", "=", "lot").execute();
    expect((await store.lots()).damaged).toEqual([
      {
        kind: "lot",
        id: 1,
        message: expect.stringMatching(/^lot 1 is missing and cannot be read/),
      },
    ]);
    await db.updateTable("ground_marks").set({ touched: 999 }).execute();
    expect((await store.verify()).faults).toContainEqual(expect.stringMatching(/an event that there is not/));
    await store.mend();
  });

  test("undo goes back one change at a time, redo forward, and a new change ends the way forward", async () => {
    const { store } = opened;
    const names = async () => (await store.lots()).lots.map((l) => l.name);
    await store.keepLot(lot, someone);
    await store.keepLot({ ...lot, name: "Lot 2" }, someone);
    await store.step("undo", null, someone);
    await store.step("undo", null, someone);
    expect(await names()).toEqual([]);
    await expect(store.step("undo", null, someone)).rejects.toThrow("nothing to undo");
    await store.step("redo", null, someone);
    await store.step("redo", null, someone);
    expect(await names()).toEqual(["Lot 1", "Lot 2"]);
    await store.step("undo", null, someone);
    await store.keepLot({ ...lot, name: "Lot 3" }, someone);
    await expect(store.step("redo", null, someone)).rejects.toThrow("nothing to redo");
    expect((await store.lots()).lots.map((l) => [l.id, l.name])).toEqual([
      [1, "Lot 1"],
      [3, "Lot 3"],
    ]);
    await store.step("undo", null, someone);
    await store.step("undo", null, someone);
    await store.step("redo", null, someone);
    await store.step("redo", null, someone);
    expect(await names()).toEqual(["Lot 1", "Lot 3"]);
    expect((await store.history()).redo).toBe(null);
  });

  test("undo of a change that is no longer next is refused", async () => {
    const { store } = opened;
    await store.keepLot(lot, someone);
    await store.keepEntry("pair", pair, someone);
    await expect(store.step("undo", 1, someone)).rejects.toThrow("Something else happened since");
    expect((await store.lots()).total).toBe(1);
  });

  test("a lot goes and comes back with all its runs and tables", async () => {
    const { store } = opened;
    await store.keepLot(lot, someone);
    await store.keepMeasurements({ lotId: 1, stage: "milled" }, runs, table, someone);
    const before = await store.copy();
    await store.removeLot(1, null, someone);
    expect(await store.lot(1)).toBe(null);
    expect(await store.importOf(1)).toBe(null);
    await store.step("undo", null, someone);
    expect(await store.copy()).toBe(before);
  });

  test("several lots come at once as each does alone; one that is not there is left out", async () => {
    const { store } = opened;
    for (const name of ["Lot 1", "Lot 2", "Lot 3"]) {
      await store.keepLot({ ...lot, name }, someone);
      await store.keepMeasurements({ lotId: Number(name.at(-1)), stage: "milled" }, runs, table, someone);
    }
    expect(await store.wholeLots([3, 99, 1])).toEqual({
      lots: [await store.lot(1), await store.lot(3)],
      damaged: [],
    });
    expect(await store.wholeLots([])).toEqual({ lots: [], damaged: [] });
  });

  test("a run that is set aside stays, with its reason, and does not count", async () => {
    const { store } = opened;
    await store.keepLot(lot, someone);
    await store.keepMeasurements({ lotId: 1, stage: "milled" }, runs, table, someone);
    await store.changeMeasurement(
      1,
      { name: "run 1", stage: "milled", exclusionReason: "bubble in the cell" },
      null,
      someone,
    );
    const found = await store.lot(1);
    expect(found?.lot.stages).toEqual([{ stage: "milled", runs: 1 }]);
    expect(found?.measurements.map((m) => m.exclusionReason)).toEqual(["bubble in the cell", null]);
    expect((await store.changeHistory(null, 1))[0]?.what).toBe(
      'excluded run "run 1" (milled) of lot "Lot 1"',
    );
  });

  test("deleting a band frees its lots, and undo ties them again", async () => {
    const { store } = opened;
    const band = {
      version: 1 as const,
      name: "B",
      stage: "milled",
      densityGPerCm3: null,
      rule: "simple" as const,
      rows: [{ limit: "d50Um", low: 1, high: 2 }],
      envelope: null,
    };
    await store.keepBand(band, someone);
    await store.keepLot({ ...lot, bandId: 1 }, someone);
    await store.removeBand(1, null, someone);
    expect((await store.lots()).lots[0]?.bandId).toBe(null);
    await store.step("undo", null, someone);
    expect((await store.lots()).lots[0]?.bandId).toBe(1);
  });

  test("the second of two people gets a conflict with both versions, and nothing is lost", async () => {
    const { store } = opened;
    await store.keepLot(lot, someone);
    await store.changeLot(1, { ...lot, note: "hers" }, 1, someone);
    await expect(store.changeLot(1, { ...lot, note: "his" }, 1, someone)).rejects.toMatchObject({
      theirs: { version: 2, body: { note: "hers" } },
    });
    await expect(store.removeLot(1, 1, someone)).rejects.toMatchObject({ theirs: { version: 2 } });
    await store.removeLot(1, 2, someone);
    await expect(store.changeLot(1, lot, 2, someone)).rejects.toMatchObject({ theirs: null });
  });

  test("a repeat under the same key keeps nothing twice; another request under it is refused", async () => {
    const { store } = opened;
    const keyed = { ...someone, request: { key: "k1", hash: "h1" } };
    const [a, b] = await Promise.all([store.keepLot(lot, keyed), store.keepLot(lot, keyed)]);
    expect(a.made).toEqual([
      { kind: "lot", id: 1 },
      { kind: "material", id: 1 },
    ]);
    expect(b).toEqual(a);
    expect((await store.lots()).total).toBe(1);
    await expect(store.keepLot(lot, { ...someone, request: { key: "k1", hash: "h2" } })).rejects.toThrow(
      "another request",
    );
  });

  test("what changes nothing is no event", async () => {
    const { store } = opened;
    await store.keepLot(lot, someone);
    await store.changeLot(1, lot, null, someone);
    expect((await store.changeHistory(null, 10)).length).toBe(1);
  });

  test("search looks for every word in name, material and note, whatever the case", async () => {
    const { store } = opened;
    await store.keepLot({ ...lot, name: "Grün 100 %", note: "Slow_mill" }, someone);
    await store.keepLot({ ...lot, name: "Blue" }, someone);
    const found = async (search: string) => (await store.lots({ search })).lots.map((l) => l.id);
    expect(await found("GRÜN garnet")).toEqual([1]);
    expect(await found("slow_")).toEqual([1]);
    expect(await found("%")).toEqual([1]);
    expect(await found("garnet")).toEqual([1, 2]);
    const page = await store.lots({ limit: 1, offset: 1 });
    expect([page.lots.map((l) => l.id), page.total]).toEqual([[2], 2]);
  });
});

describeStore("a flipped bit", (open) => {
  test("is reported, not shown, and repaired from the change history", async () => {
    const { store, db, done } = await open();
    await store.keepLot(lot, someone);
    await store.keepEntry("pair", pair, someone);
    await store.keepMeasurements({ lotId: 1, stage: "milled" }, runs, table, someone);
    const before = await store.copy();
    const flip = (kind: string, from: string, to: string) =>
      db
        .updateTable("entries")
        .set((eb) => ({ body: eb.fn<string>("replace", [eb.ref("body"), eb.val(from), eb.val(to)]) }))
        .where("kind", "=", kind)
        .execute();
    await flip("pair", "0.7", "0.6");
    expect((await store.entries("pair")).entries).toEqual([]);
    expect((await store.entries("pair")).damaged[0]?.message).toMatch(/pair 1 does not match its checksum/);
    await flip("measurement", "0.4,0.6", "0.5,0.5");
    expect(await store.lot(1)).toMatchObject({ measurements: [], damaged: [{ id: 1 }, { id: 2 }] });
    await expect(store.changeEntry({ kind: "pair", id: 1 }, pair, null, someone)).rejects.toThrow("checksum");
    await expect(store.copy()).rejects.toThrow("checksum");
    await flip("lot", "4.55", "4.65");
    await expect(store.lot(1)).rejects.toThrow("lot 1 does not match its checksum");
    expect(await store.wholeLots([1])).toMatchObject({ lots: [], damaged: [{ kind: "lot", id: 1 }] });
    expect((await store.verify()).faults.length).toBe(4);
    expect(await store.mend()).toBe(4);
    expect(await store.copy()).toBe(before);
    await db.updateTable("changes").set({ after: "{}" }).where("seq", "=", 2).execute();
    expect((await store.verify()).faults[0]).toMatch(/event 2 does not match its checksum/);
    await expect(store.mend()).rejects.toThrow("Restore a backup");
    await done();
  });
});
