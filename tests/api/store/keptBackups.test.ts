import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { openDatabase } from "../../../api/store/database/database.ts";
import type { ChangeContext } from "../../../api/store/ledger/ledger.ts";
import { makeStore } from "../../../api/store/store.ts";
import { backupsIn, type KeptBackup, outlived } from "../../../api/store/transfer/keptBackups.ts";

const someone: ChangeContext = { kind: "change", by: "Ana", why: "", request: null };
const lot = { name: "Lot 1", material: "garnet", densityGPerCm3: 4.55, bandId: null, note: "" };
const dayMs = 86_400_000;

let folder: string;
let now = 0;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "fineband-backups-"));
  now = Date.parse("2026-03-01T06:00:00Z");
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const open = async (name: string) => {
  const db = await openDatabase({ databaseUrl: null, folder: join(folder, name) });
  return { db, store: makeStore(db, () => new Date(now), join(folder, "backups")) };
};

test("a backup is made once a day where anything changed, and each brings back what stood, byte for byte", async () => {
  const { store } = await open("lab");
  await store.backUpDaily();
  expect(store.lastBackup()).toBe(null);
  for (let day = 0; day < 3; day++) {
    await store.keepLot({ ...lot, name: `Lot ${day}` }, someone);
    await store.backUpDaily();
    await store.backUpDaily();
    now += dayMs;
  }
  await store.backUpDaily();
  const made = backupsIn(join(folder, "backups"));
  expect(made.map(({ at }) => at.slice(0, 10))).toEqual(["2026-03-03", "2026-03-02", "2026-03-01"]);
  expect(store.lastBackup()?.name).toBe(made[0]?.name);
  const again = await open("again");
  await again.store.restore(readFileSync(join(folder, "backups", made[0]?.name ?? ""), "utf8"), someone);
  expect(await again.store.copy()).toBe(await store.copy());
  await again.store.close();
  await store.close();
});

test("once a week all are read back; one that is damaged gets another name and is the last good one no more", async () => {
  const { store } = await open("lab");
  await store.checkBackupsWeekly();
  expect(store.backupsCheckedAt()).toBe(null);
  for (let day = 0; day < 2; day++) {
    await store.keepLot({ ...lot, name: `Lot ${day}` }, someone);
    await store.backUpDaily();
    await store.checkBackupsWeekly();
    now += dayMs;
  }
  expect(store.backupsCheckedAt()).toBe("2026-03-01T06:00:00.000Z");
  const [last, first] = backupsIn(join(folder, "backups"));
  const path = join(folder, "backups", last?.name ?? "");
  const bytes = readFileSync(path);
  bytes.writeUInt8(bytes.readUInt8(200) ^ 1, 200);
  writeFileSync(path, bytes);
  await store.checkBackupsWeekly();
  expect(store.lastBackup()?.name).toBe(last?.name);
  now += 6 * dayMs;
  await expect(store.checkBackupsWeekly()).rejects.toThrow(`can no longer be brought back: ${last?.name}`);
  expect(store.lastBackup()).toEqual(first);
  expect(existsSync(`${path}.damaged`)).toBe(true);
  await store.checkBackupsWeekly();
  await store.close();
});

test("where the clock was set back a year, a backup is made, kept and named as the last", async () => {
  const { store } = await open("lab");
  for (let day = 0; day < 12; day++) {
    await store.keepLot({ ...lot, name: `Lot ${day}` }, someone);
    await store.backUpDaily();
    now += dayMs;
  }
  now -= 365 * dayMs;
  await store.keepLot({ ...lot, name: "Lot back" }, someone);
  await store.backUpDaily();
  expect(store.lastBackup()).toMatchObject({ at: "2025-03-13T06:00:00Z", event: 13 });
  await store.close();
});

test("a folder that cannot be written is named, and what should follow the backup is not done", async () => {
  const { store } = await open("lab");
  await store.keepLot(lot, someone);
  const copy = await store.copy();
  writeFileSync(join(folder, "backups"), "");
  await store.keepLot({ ...lot, name: "Lot 2" }, someone);
  await expect(store.importCopy(copy, someone)).rejects.toThrow(
    `The folder of the backups, ${join(folder, "backups")}, is not there, or is something else.`,
  );
  expect((await store.lots()).total).toBe(2);
  rmSync(join(folder, "backups"));
  await store.importCopy(copy, someone);
  expect((await store.lots()).total).toBe(1);
  await store.close();
});

test("a backup and a copy leave piece by piece, of one moment, and let others save meanwhile", async () => {
  const { store } = await open("lab");
  for (let n = 0; n < 150; n++) await store.keepLot({ ...lot, name: `Lot ${n}` }, someone);
  const copy = await store.copy();
  const [lines, pieces] = [store.backup(), store.copyPieces()];
  let [text, copied] = [(await lines.next()).value, (await pieces.next()).value];
  await store.keepLot({ ...lot, name: "Later" }, someone);
  for await (const line of lines) text += line;
  for await (const piece of pieces) copied += piece;
  expect(copied).toBe(copy);
  const again = await open("again");
  await again.store.restore(text, someone);
  expect(await again.store.copy()).toBe(copy);
  // One who goes away before the end holds nothing up.
  const left = store.backup();
  await left.next();
  await left.return(undefined);
  await again.store.close();
  await store.close();
});

test("a restore and a mending are preceded by a backup of what stood", async () => {
  const { store } = await open("lab");
  await store.keepLot(lot, someone);
  const copy = await store.copy();
  await store.keepLot({ ...lot, name: "Lot 2" }, someone);
  now += 1000;
  await store.importCopy(copy, someone);
  now += 1000;
  await store.mend();
  expect(backupsIn(join(folder, "backups")).map(({ name }) => name.replace(/^.*Z-/, ""))).toEqual([
    "3-before-mend.jsonl",
    "2-before-restore.jsonl",
  ]);
  await store.close();
});

test("of a damaged record no backup is made; before a mending the file itself is laid beside", async () => {
  const { store, db } = await open("lab");
  await store.keepLot(lot, someone);
  await store.keepLot({ ...lot, name: "Lot 2" }, someone);
  await db.updateTable("events").set({ what: "saved another lot" }).where("seq", "=", 2).execute();
  await expect(store.backUpDaily()).rejects.toThrow("could not be brought back whole");
  await expect(store.backup().next()).rejects.toThrow("Event 2 does not match its checksum");
  await expect(store.mend()).rejects.toThrow("Restore a backup");
  expect(existsSync(join(folder, "backups", "fineband-20260301T060000Z-before-mend.sqlite"))).toBe(true);
  await store.close();
});

test("a row that is gone from the record is noticed, and what stands is kept when it is mended", async () => {
  const { store, db } = await open("lab");
  await store.keepLot(lot, someone);
  await store.keepEntry("pair", { stage: "milled", geometricM2PerG: 0.5, betM2PerG: 0.7 }, someone);
  await db.deleteFrom("changes").where("seq", "=", 2).execute();
  expect((await store.verify()).faults).toContain("The chain of events breaks at event 2.");
  expect(await store.mendPlan()).toEqual([
    "keep pair 1 and write it into the change history, which does not have it so",
  ]);
  expect(await store.mend()).toBe(1);
  expect((await store.verify()).faults).toEqual([]);
  expect((await store.entries("pair")).entries).toHaveLength(1);
  await store.close();
});

test("a week of days and a year of months is kept", () => {
  const backups = Array.from({ length: 800 }, (_, i): KeptBackup => {
    const at = new Date(Date.parse("2026-11-30T06:00:00Z") - i * dayMs).toISOString();
    return { name: `${800 - i}-daily.jsonl`, at, event: 800 - i };
  });
  const old = new Set(outlived(backups));
  const kept = backups.filter((one) => !old.has(one)).map(({ at }) => at.slice(0, 10));
  expect(kept.slice(0, 7)).toEqual([30, 29, 28, 27, 26, 25, 24].map((day) => `2026-11-${day}`));
  expect(kept.slice(7)).toEqual(
    ["10-31", "09-30", "08-31", "07-31", "06-30", "05-31", "04-30", "03-31", "02-28", "01-31"]
      .map((day) => `2026-${day}`)
      .concat(["2025-12-31"]),
  );
});

test("counters and columns that are wrong are found, and no number is given out twice", async () => {
  const { store, db } = await open("lab");
  for (const name of ["A", "B"]) await store.keepLot({ ...lot, name }, someone);
  await db.updateTable("counters").set({ value: 1 }).where("name", "in", ["lot", "event"]).execute();
  await db
    .updateTable("entries")
    .set({ part: "elsewhere" })
    .where("kind", "=", "lot")
    .where("id", "=", 1)
    .execute();
  const { faults } = await store.verify();
  expect(faults).toContain("The counter of event stands at 1; 2 was given out.");
  expect(faults).toContain("The counter of lot stands at 1; 2 was given out.");
  expect(faults).toContain('lot 1 is found by part "elsewhere", not "garnet".');
  expect((await store.keepLot({ ...lot, name: "C" }, someone)).made).toEqual([{ kind: "lot", id: 3 }]);
  await store.mend();
  expect((await store.verify()).faults).toEqual([]);
  await store.close();
});
