// Signatures by the lab's own key. The algorithm is the system library's; that it signs as it should is checked against
// the first test of RFC 8032, section 7.1.
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { sha256 } from "../../../api/records/checksum.ts";
import { openDatabase } from "../../../api/store/database/database.ts";
import type { ChangeContext } from "../../../api/store/ledger/ledger.ts";
import { openStore } from "../../../api/store/openStore.ts";
import { fits, labKeyIn } from "../../../api/store/signing/labKey.ts";
import { makeStore, type Store } from "../../../api/store/store.ts";

const someone: ChangeContext = { kind: "change", by: "Ana", why: "", request: null };
const lot = { name: "Lot 1", material: "garnet", densityGPerCm3: 4.55, bandId: null, note: "" };
const curve = sizeDistribution({ quantity: "volume", lowerUm: [1, 2], upperUm: [2, 4], shares: [0.4, 0.6] });
const runs = ["run 1", "run 2"].map((name) => ({ name, file: null, distribution: curve }));
const clock = () => new Date("2026-03-01T06:00:00Z");

let folder: string;
let stores: Store[];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "fineband-signing-"));
  stores = [];
});
afterEach(async () => {
  for (const store of stores) await store.close();
  rmSync(folder, { recursive: true, force: true });
});

async function lab(name: string): Promise<Store> {
  const store = await openStore({ databaseUrl: null, folder: join(folder, name) }, clock);
  stores.push(store);
  return store;
}

async function released(store: Store): Promise<Store> {
  await store.keepLot(lot, someone);
  const table = { file: "a.csv", text: "as received", options: {} };
  await store.keepMeasurements({ lotId: 1, stage: "milled" }, runs, table, someone);
  await store.release(1, { stage: "milled", name: "for a customer", note: "" }, someone);
  return store;
}

async function backupOf(store: Store): Promise<string> {
  let text = "";
  for await (const line of store.backup()) text += line;
  return text;
}
const stateIn = async (store: Store) => (await store.card(1)).released.map((one) => one.signatureState);

test("a signature is Ed25519: the first key, text and signature of RFC 8032, 7.1", () => {
  const hex = (text: string) => Buffer.from(text, "hex");
  // SPKI of Ed25519 is twelve fixed bytes before the key. Source: RFC 8410, section 4.
  const key = Buffer.concat([
    hex("302a300506032b6570032100"),
    hex("d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a"),
  ]).toString("base64");
  const value = hex(
    "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
  ).toString("base64");
  expect(fits("", { key, value })).toBe(true);
  expect(fits("a", { key, value })).toBe(false);
  expect(fits("", { key: "no key", value })).toBe(false);
});

test("a release record and a backup are signed with a key that only its owner can read, and one key serves the lab", async () => {
  const store = await released(await lab("own"));
  expect(await stateIn(store)).toEqual(["own"]);
  expect((await store.releaseRecord(1))?.signatureState).toBe("own");
  const path = join(folder, "own", "signing-key.json");
  expect(statSync(path).mode & 0o777).toBe(0o600);
  const text = await backupOf(store);
  expect(await stateIn(await lab("own"))).toEqual(["own"]);
  expect((await store.restore(text, someone)).signatureState).toBe("own");
  expect(await store.verify()).toMatchObject({ faults: [], remarks: [] });
});

test("brought into another lab, record and backup are said to be another's, and the record keeps its signature", async () => {
  const first = await released(await lab("first"));
  const second = await lab("second");
  expect((await second.restore(await backupOf(first), someone)).signatureState).toBe("foreign");
  expect(await stateIn(second)).toEqual(["foreign"]);
  expect((await second.verify()).remarks).toEqual([
    'Release record 1 ("for a customer") was signed with another key than this lab\'s.',
  ]);
  const third = await lab("third");
  await third.importTables(await first.copyTables(), someone);
  expect(await stateIn(third)).toEqual(["foreign"]);
  await third.importCopy(await first.copy(), someone);
  expect(await stateIn(third)).toEqual(["foreign"]);
});

test("what was saved before there was a key says that it is not signed", async () => {
  const before = makeStore(await openDatabase({ databaseUrl: null, folder: join(folder, "own") }), clock);
  await released(before);
  await before.close();
  const store = await lab("own");
  expect(await stateIn(store)).toEqual(["none"]);
  expect(await store.verify()).toMatchObject({
    faults: [],
    remarks: ['Release record 1 ("for a customer") is not signed.'],
  });
});

test("a record that was changed, its hash and checksums too, is marked as forged", async () => {
  const store = await released(await lab("own"));
  const copy = await store.copy();
  const forged = copy
    .replace('"note":""', '"note":"good"')
    .replace('"name":"for a customer"', '"name":"for all"');
  expect(forged).not.toBe(copy);
  const other = await lab("other");
  await other.importCopy(forged, someone);
  expect(await stateIn(other)).toEqual(["forged"]);
  expect((await other.verify()).faults).toEqual([
    "Release record 1 bears a signature that does not fit: it was changed after it was signed.",
  ]);
});

test("a backup that was changed, its checksum too, is refused", async () => {
  const store = await released(await lab("own"));
  const lines = (await backupOf(store)).trimEnd().split("\n");
  const last = JSON.parse(lines.at(-1) ?? "");
  const before = `${lines.slice(0, -2).join("\n")}\n`;
  const cut = `${before}${JSON.stringify({ ...last, events: last.events - 1, sha256: sha256(before) })}\n`;
  const other = await lab("other");
  await expect(other.restore(cut, someone)).rejects.toThrow("signature of the backup does not fit");
  expect(await other.isEmpty()).toBe(true);
});

test("a key that cannot be read signs nothing and takes nothing away", async () => {
  await released(await lab("own"));
  const path = join(folder, "own", "signing-key.json");
  const was = readFileSync(path, "utf8");
  writeFileSync(path, was.slice(0, 40));
  const store = await lab("own");
  expect(await stateIn(store)).toEqual(["foreign"]);
  await expect(store.release(1, { stage: "milled", name: "again", note: "" }, someone)).rejects.toThrow(
    "The key this lab signs with cannot be read",
  );
  writeFileSync(path, was);
  expect(await stateIn(store)).toEqual(["own"]);
});

test("two that sign for the first time at once end with one key", () => {
  const path = join(folder, "shared", "signing-key.json");
  const [one, two] = [labKeyIn(path), labKeyIn(path)];
  const first = one.sign("a");
  expect(two.sign("b").key).toBe(first.key);
  expect(two.stateOf("a", first)).toBe("own");
});
