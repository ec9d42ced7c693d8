import { afterEach, beforeEach, expect, test } from "vitest";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import type { ChangeContext } from "../../../api/store/ledger/ledger.ts";
import { describeStore, type Opened } from "./engines.ts";

const person = (by: string): ChangeContext => ({ kind: "change", by, why: "", request: null });
const [ana, ben, nobody] = [person("Ana"), person("Ben"), person("")];
const lot = { name: "A", material: "garnet", densityGPerCm3: 4.55, bandId: null, note: "" };
const distribution = sizeDistribution({
  quantity: "volume",
  lowerUm: [1, 2],
  upperUm: [2, 4],
  shares: [0.4, 0.6],
});

describeStore("undo among several people", (open) => {
  let opened: Opened;
  beforeEach(async () => {
    opened = await open();
  });
  afterEach(async () => {
    expect((await opened.store.verify()).faults).toEqual([]);
    await opened.done();
  });
  const names = async () => (await opened.store.lots()).lots.map((l) => l.name);

  test("takes back the caller's own latest, not what another did since, and brings it back", async () => {
    const { store } = opened;
    await store.keepLot(lot, ana);
    await store.keepLot({ ...lot, name: "B" }, ben);
    await store.keepLot({ ...lot, name: "C" }, ben);
    expect((await store.history("Ana")).undo?.what).toBe('saved lot "A"');
    await store.step("undo", null, ana);
    // The material that Ana's lot brought with it stays: Ben's lots are of it.
    expect((await store.materials()).materials.map((m) => m.name)).toEqual(["garnet"]);
    expect(await names()).toEqual(["B", "C"]);
    await expect(store.step("undo", null, ana)).rejects.toThrow("There is nothing of yours to undo.");
    await store.step("redo", null, ana);
    expect(await names()).toEqual(["A", "B", "C"]);
    await store.step("undo", null, ben);
    expect(await names()).toEqual(["A", "B"]);
    await store.step("undo", null, nobody);
    expect(await names()).toEqual(["A"]);
  });

  test("is refused where another touched the same since, and says whose change that is", async () => {
    const { store } = opened;
    await store.keepLot(lot, ana);
    await store.changeLot(1, { ...lot, name: "A2" }, null, ben);
    await expect(store.step("undo", null, ana)).rejects.toThrow(
      '"saved lot "A"" cannot be taken back: Ben did since "renamed lot "A" to "A2"" (event 2).',
    );
    await store.step("undo", null, ben);
    await store.step("undo", null, ana);
    expect(await names()).toEqual([]);
  });

  test("is refused where another put something into what would go", async () => {
    const { store } = opened;
    await store.keepLot(lot, ana);
    const run = { name: "run 1", file: null, distribution };
    const table = { file: null, text: "", options: {} };
    await store.keepMeasurements({ lotId: 1, stage: "milled" }, [run], table, ben);
    await expect(store.step("undo", null, ana)).rejects.toThrow(
      'Ben did since "imported a run of milled into lot "A"" (event 2)',
    );
    await store.step("undo", null, ben);
    await store.step("undo", null, ana);
    expect(await names()).toEqual([]);
  });

  test("of a deletion is refused where what it belonged to is gone meanwhile", async () => {
    const { store } = opened;
    await store.keepLot(lot, ana);
    const run = { name: "run 1", file: null, distribution };
    const table = { file: null, text: "", options: {} };
    await store.keepMeasurements({ lotId: 1, stage: "milled" }, [run], table, ana);
    await store.changeMeasurement(1, { name: "run 1", stage: "milled", exclusionReason: "spilt" }, null, ana);
    await store.removeLot(1, null, ben);
    await expect(store.step("undo", null, ana)).rejects.toThrow('Ben did since "deleted lot "A"" (event 4)');
    await store.step("undo", null, ben);
    await store.step("undo", null, ana);
    expect(await names()).toEqual(["A"]);
  });
});
