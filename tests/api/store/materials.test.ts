import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { sql } from "kysely";
import { afterEach, beforeEach, expect, test } from "vitest";
import { linkAll } from "../../../api/store/database/chain.ts";
import { materialsOfBefore } from "../../../api/store/entries/materialsOfBefore.ts";
import type { ChangeContext } from "../../../api/store/ledger/ledger.ts";
import { usualPriors } from "../../../model/mill/trials/priors.ts";
import { describeStore, type Opened } from "./engines.ts";

const someone: ChangeContext = { kind: "change", by: "Ana", why: "", request: null };
const plain = { material: "garnet", densityGPerCm3: 4.55, bandId: null, note: "" };
const ceria = {
  name: "ceria",
  densityGPerCm3: 7.2,
  steps: [{ id: "a", name: "a", kind: "other" as const }],
  bands: [],
  note: "",
};

describeStore("materials", (open) => {
  let opened: Opened;
  beforeEach(async () => {
    opened = await open();
  });
  afterEach(async () => {
    expect((await opened.store.verify()).faults).toEqual([]);
    await opened.done();
  });
  const kept = async () =>
    (await opened.store.materials()).materials.map((m) => [m.id, m.name, m.densityGPerCm3]);
  const lots = async () =>
    (await opened.store.lots()).lots.map((l) => [l.name, l.material, l.materialId, l.densityGPerCm3]);

  test("a lot's name finds its material or makes it, in one change that undo takes back", async () => {
    const { store } = opened;
    await store.keepLot({ ...plain, name: "A" }, someone);
    await store.keepLot({ ...plain, name: "B", material: " Garnet", densityGPerCm3: undefined }, someone);
    await store.keepLot({ ...plain, name: "C", material: "" }, someone);
    expect(await kept()).toEqual([[1, "garnet", 4.55]]);
    expect(await lots()).toEqual([
      ["A", "garnet", 1, 4.55],
      ["B", "garnet", 1, 4.55],
      ["C", "", null, 4.55],
    ]);
    for (let i = 0; i < 3; i++) await store.step("undo", null, someone);
    expect(await kept()).toEqual([]);
    await store.step("redo", null, someone);
    expect(await kept()).toEqual([[1, "garnet", 4.55]]);
    expect(await lots()).toEqual([["A", "garnet", 1, 4.55]]);
  });

  test("a change that does not name the material leaves it; an empty name takes it away", async () => {
    const { store } = opened;
    await store.keepLot({ ...plain, name: "A" }, someone);
    await store.changeLot(1, { name: "B", bandId: null, note: "" }, null, someone);
    expect(await lots()).toEqual([["B", "garnet", 1, 4.55]]);
    await store.changeLot(1, { ...plain, name: "B", material: "" }, null, someone);
    expect(await lots()).toEqual([["B", "", null, 4.55]]);
  });

  test("a new name and density go to its lots and pairs; a lot's own density stays", async () => {
    const { store } = opened;
    await store.keepLot({ ...plain, name: "A" }, someone);
    await store.keepLot({ ...plain, name: "B", densityGPerCm3: 4.6 }, someone);
    await store.keepEntry(
      "pair",
      { stage: "milled", geometricM2PerG: 1, betM2PerG: 2, material: "Garnet" },
      someone,
    );
    const before = await store.copy();
    const [garnet] = (await store.materials()).materials;
    if (garnet === undefined) throw new Error("no material");
    const { id, version, ...body } = garnet;
    await store.changeMaterial(id, { ...body, name: "YAG", densityGPerCm3: 4.5 }, version, someone);
    expect(await lots()).toEqual([
      ["A", "YAG", 1, 4.5],
      ["B", "YAG", 1, 4.6],
    ]);
    expect((await store.entries("pair")).entries[0]?.material).toBe("YAG");
    expect((await store.lots({ search: "garnet" })).total).toBe(0);
    await store.step("undo", null, someone);
    expect(await store.copy()).toBe(before);
  });

  test("merging and splitting are one change each, and undo brings all back byte for byte", async () => {
    const { store } = opened;
    await store.keepLot({ ...plain, name: "A" }, someone);
    await store.keepLot({ ...plain, name: "B" }, someone);
    await store.keepLot({ ...plain, name: "C", material: "ceria", densityGPerCm3: 7.2 }, someone);
    const before = await store.copy();
    await store.mergeMaterials({ id: 2, intoId: 1 }, null, someone);
    expect(await lots()).toEqual([
      ["A", "garnet", 1, 4.55],
      ["B", "garnet", 1, 4.55],
      ["C", "garnet", 1, 7.2],
    ]);
    expect(await kept()).toEqual([[1, "garnet", 4.55]]);
    await store.step("undo", null, someone);
    expect(await store.copy()).toBe(before);
    await store.splitMaterial(1, { name: "doped", lotIds: [2], densityGPerCm3: 4.7 }, someone);
    expect(await lots()).toEqual([
      ["A", "garnet", 1, 4.55],
      ["B", "doped", 3, 4.7],
      ["C", "ceria", 2, 7.2],
    ]);
    await store.step("undo", null, someone);
    expect(await store.copy()).toBe(before);
    await expect(store.splitMaterial(1, { name: "doped", lotIds: [3] }, someone)).rejects.toThrow(
      /lot "C" must be of garnet/,
    );
    await expect(store.mergeMaterials({ id: 1, intoId: 1 }, null, someone)).rejects.toThrow(/another/);
  });

  test("what cannot be is refused with words, and nothing is kept", async () => {
    const { store } = opened;
    await store.keepMaterial(ceria, someone);
    await store.keepLot({ ...plain, name: "A" }, someone);
    const before = await store.copy();
    await expect(store.keepMaterial({ ...ceria, name: " CERIA " }, someone)).rejects.toThrow(
      /must be its own: material 1 is called "ceria"/,
    );
    await expect(store.keepMaterial({ ...ceria, name: "x", densityGPerCm3: 0 }, someone)).rejects.toThrow(
      /must be above 0/,
    );
    await expect(store.changeMaterial(2, { ...ceria }, null, someone)).rejects.toThrow(/must be its own/);
    await expect(store.removeMaterial(2, null, someone)).rejects.toThrow(/while lots are of it/);
    await expect(
      store.keepLot({ ...plain, name: "N", material: "new", densityGPerCm3: undefined }, someone),
    ).rejects.toThrow(/no material "new" yet/);
    expect(await store.copy()).toBe(before);
  });

  test("lots are asked for by material and state", async () => {
    const { store } = opened;
    for (const name of ["A", "B", "C"]) await store.keepLot({ ...plain, name }, someone);
    await store.keepLot(
      { ...plain, name: "D", material: "ceria", note: '"state":{"name":"on hold",' },
      someone,
    );
    await store.setState(2, { name: "on hold", why: "lumps", lotId: null }, null, someone);
    await store.setState(3, { name: "reworked into", why: "", lotId: 1 }, null, someone);
    const names = async (asked: Parameters<typeof store.lots>[0]) =>
      (await store.lots(asked)).lots.map((l) => l.name);
    expect(await names({ material: "GARNET" })).toEqual(["A", "B", "C"]);
    expect(await names({ material: "garnet", limit: 2, order: "newest" })).toEqual(["C", "B"]);
    expect(await names({ state: "on hold" })).toEqual(["B"]);
    expect(await names({ state: "open" })).toEqual(["A", "D"]);
    await store.setState(2, { name: "open", why: "sieved", lotId: null }, null, someone);
    expect(await names({ state: "open", material: "garnet" })).toEqual(["A", "B"]);
    expect((await store.lot(2))?.lot.state).toEqual({
      name: "open",
      by: "Ana",
      at: "1970-01-01T00:00:00.000Z",
      why: "sieved",
      lotId: null,
    });
    await expect(
      store.setState(2, { name: "blended into", why: "", lotId: null }, null, someone),
    ).rejects.toThrow(/must name that other lot/);
    await expect(store.removeLot(1, null, someone)).rejects.toThrow(/while other lots/);
  });

  test("parents that cannot be are refused: itself, a circle, shares over 1, a lot that is not there", async () => {
    const { store } = opened;
    const from = (lotId: number, share = 1) => ({ lotId, stage: "milled" as const, share, massG: null });
    await store.keepLot({ ...plain, name: "A", dateMade: "2026-11-02" }, someone);
    await store.keepLot({ ...plain, name: "B", parents: [from(1)] }, someone);
    await store.keepLot({ ...plain, name: "C", parents: [from(1, 0.4), from(2, 0.6)] }, someone);
    const change = (id: number, parents: ReturnType<typeof from>[]) =>
      store.changeLot(id, { ...plain, name: "X", parents }, null, someone);
    await expect(change(1, [from(1)])).rejects.toThrow(/lot itself/);
    await expect(change(1, [from(3)])).rejects.toThrow(/come from the lot itself/);
    await expect(change(3, [from(1, 0.7), from(2, 0.7)])).rejects.toThrow(/must add to 1/);
    await expect(change(3, [from(1, 1.2)])).rejects.toThrow(/at most 1/);
    await expect(change(3, [from(9)])).rejects.toThrow(/no lot 9/);
    await expect(store.removeLot(1, null, someone)).rejects.toThrow(/while other lots come from it/);
    await store.changeLot(1, { ...plain, name: "A1" }, null, someone);
    expect((await store.lot(1))?.lot.dateMade).toBe("2026-11-02");
    await store.changeLot(1, { ...plain, name: "A1", dateMade: null }, null, someone);
    expect((await store.lot(1))?.lot.dateMade).toBe(null);
    await store.changeLot(3, { ...plain, name: "C", parents: [] }, null, someone);
    await store.changeLot(2, { ...plain, name: "B", parents: [] }, null, someone);
    await store.removeLot(1, null, someone);
  });
});

const mill = {
  wheelRadiusM: 0.05,
  wheelHeightM: 0.05,
  freeAreaShare: 0.7,
  swirlRatio: 1,
  ratedSpeedRpm: null,
  gas: "air" as const,
  temperatureC: 20,
  pressurePa: 1e5,
  gasFlowM3PerH: 200,
  particleDensityGPerCm3: 4.5,
};
const trial = {
  name: "t",
  trial: { speedRpm: 6000, gasFlowM3PerH: null, feedKgPerH: null, d10Um: null, d50Um: 2, d90Um: null },
  curve: null,
  exclusionReason: null,
};

describeStore("trials of a material", (open) => {
  test("know what was fed and made, keep it through a change that does not say it, and refuse another material", async () => {
    const { store, done } = await open();
    await store.keepLot({ ...plain, name: "A" }, someone);
    await store.keepLot({ ...plain, name: "B", material: "ceria", densityGPerCm3: 7.2 }, someone);
    await store.keepMill({ name: "M", mill }, someone);
    const feed = { lotId: 1, stage: "crushed" as const };
    await store.keepTrials(1, [{ ...trial, feed, feedMassG: 500, productMassG: 410 }], someone);
    const kept = { materialId: 1, feed, feedMassG: 500, productMassG: 410 };
    expect((await store.trials(1)).trials[0]).toMatchObject(kept);
    await store.changeTrial(1, { ...trial, name: "t2" }, null, someone);
    expect((await store.trials(1)).trials[0]).toMatchObject({ ...kept, name: "t2" });
    const before = await store.copy();
    const other = { lotId: 2, stage: "milled" as const };
    for (const wrong of [{ sample: other }, { feed: other }, { materialId: 2 }])
      await expect(store.changeTrial(1, { ...trial, ...wrong }, null, someone)).rejects.toThrow(
        /must feed and make lots of that material/,
      );
    await expect(store.keepTrials(1, [{ ...trial, materialId: 2, feed }], someone)).rejects.toThrow(
      /a trial of ceria must feed and make lots of that material, got garnet/,
    );
    await expect(store.removeLot(1, null, someone)).rejects.toThrow(/while trials were fed with it/);
    expect(await store.copy()).toBe(before);
    await store.mergeMaterials({ id: 1, intoId: 2 }, null, someone);
    expect((await store.trials(1)).trials[0]?.materialId).toBe(2);
    await store.step("undo", null, someone);
    expect(await store.copy()).toBe(before);
    // What is known of the mill with a material goes with it; where both have it, that of the one that stays.
    const known = { priors: usualPriors, excludedLots: [], grindingLimitUm: 0.6 };
    await store.keepPriors({ millId: 1, materialId: 1 }, known, null, someone);
    const limits = async () =>
      (await store.savedPriors()).savedPriors.map((one) => [one.materialId, one.grindingLimitUm]);
    await store.mergeMaterials({ id: 1, intoId: 2 }, null, someone);
    expect(await limits()).toEqual([[2, 0.6]]);
    await store.step("undo", null, someone);
    const rough = { ...known, grindingLimitUm: 0.9 };
    await store.keepPriors({ millId: 1, materialId: 2 }, rough, null, someone);
    await store.mergeMaterials({ id: 1, intoId: 2 }, null, someone);
    expect(await limits()).toEqual([[2, 0.9]]);
    for (let i = 0; i < 3; i++) await store.step("undo", null, someone);
    expect(await store.copy()).toBe(before);
    await store.splitMaterial(1, { name: "doped", lotIds: [1] }, someone);
    expect((await store.trials(1)).trials[0]?.materialId).toBe(3);
    await store.changeTrial(1, { ...trial, feed: null, feedMassG: null }, null, someone);
    expect((await store.trials(1)).trials[0]).not.toHaveProperty("feed");
    expect((await store.verify()).faults).toEqual([]);
    await done();
  });
});

/** Takes the materials away as if they had never been: a store of before. */
async function asBefore({ db }: Opened): Promise<void> {
  await sql`delete from changes where kind = 'material'`.execute(db);
  await sql`delete from entries where kind = 'material'`.execute(db);
  await sql`delete from counters where name = 'material'`.execute(db);
  await db.transaction().execute(linkAll);
}

describeStore("a store of before there were materials", (open) => {
  let folder: string;
  let opened: Opened;
  beforeEach(async () => {
    folder = mkdtempSync(join(tmpdir(), "fineband-before-"));
    opened = await open();
    const { store } = opened;
    await store.keepLot({ ...plain, name: "A" }, someone);
    await store.keepLot({ ...plain, name: "B", material: "GARNET " }, someone);
    await store.keepLot({ ...plain, name: "C", densityGPerCm3: 4.6 }, someone);
    await store.keepLot({ ...plain, name: "D", material: "ceria", densityGPerCm3: 7.2 }, someone);
    await store.keepLot({ ...plain, name: "E", material: "" }, someone);
    await asBefore(opened);
  });
  afterEach(async () => {
    await opened.done();
    rmSync(folder, { recursive: true, force: true });
  });

  test("gets one material a name, each lot keeps its density, and a backup of before is there", async () => {
    const { store, db } = opened;
    const lines: string[] = [];
    for await (const line of store.backup()) lines.push(line);
    const before = (await store.lots()).lots.map(({ materialId: _, ...lot }) => lot);
    await materialsOfBefore(db, () => new Date(0), folder);
    expect((await store.materials()).materials.map((m) => [m.name, m.densityGPerCm3])).toEqual([
      ["garnet", 4.55],
      ["ceria", 7.2],
    ]);
    expect((await store.lots()).lots.map(({ materialId: _, ...lot }) => lot)).toEqual(before);
    expect((await store.lots()).lots.map((l) => l.materialId)).toEqual([1, 1, 1, 2, null]);
    const [event] = await store.changeHistory(null, 1);
    expect(event?.what).toBe('made two materials of the names that lots have; without a material: "E"');
    expect(readdirSync(folder)).toEqual(["before-materials-5.jsonl"]);
    expect(readFileSync(join(folder, "before-materials-5.jsonl"), "utf8")).toBe(lines.join(""));
    await materialsOfBefore(db, () => new Date(0), folder);
    expect((await store.changeHistory(null, 9)).length).toBe(6);
    // What was done before can still be taken back.
    await store.step("undo", null, someone);
    expect((await store.lots()).total).toBe(4);
    expect((await store.verify()).faults).toEqual([]);
  });

  test("two servers at once do it once; one that is killed in between leaves it whole", async () => {
    const { store, db } = opened;
    await expect(
      materialsOfBefore(
        db,
        () => {
          throw new Error("killed");
        },
        folder,
      ),
    ).rejects.toThrow("killed");
    expect((await store.materials()).materials).toEqual([]);
    const other = await opened.again();
    const start = (one: Opened) => materialsOfBefore(one.db, () => new Date(0), folder);
    if (opened.isServer) await Promise.all([opened, other].map(start));
    else for (const one of [opened, other]) await start(one);
    await other.db.destroy();
    expect((await store.materials()).materials.length).toBe(2);
    expect((await store.changeHistory(null, 9)).length).toBe(6);
    expect((await store.verify()).faults).toEqual([]);
    expect(existsSync(join(folder, "before-materials-5.jsonl.part"))).toBe(false);
  });

  test("its copy and its backup come into a lab of today with their materials", async () => {
    const { store } = opened;
    const copy = (await store.copy()).replace(/"materials":\[\],\n/, "");
    const lines: string[] = [];
    for await (const line of store.backup()) lines.push(line);
    const lab = await open();
    await lab.store.importCopy(copy, someone);
    expect((await lab.store.materials()).materials.map((m) => m.name)).toEqual(["garnet", "ceria"]);
    expect((await lab.store.importCopy(copy, someone)).seq).toBe(null);
    expect((await lab.store.restore(lines.join(""), someone)).withTrail).toBe(false);
    expect((await lab.store.materials()).materials.map((m) => m.id)).toEqual([1, 2]);
    expect((await lab.store.verify()).faults).toEqual([]);
    await lab.done();
    const fresh = await open();
    expect((await fresh.store.restore(lines.join(""), someone)).withTrail).toBe(true);
    expect((await fresh.store.materials()).materials.map((m) => m.name)).toEqual(["garnet", "ceria"]);
    await fresh.done();
  });
});
