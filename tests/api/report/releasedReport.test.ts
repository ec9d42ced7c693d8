import { createHash } from "node:crypto";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, expect, test } from "vitest";
import { makeApp } from "../../../api/app.ts";
import { saveHostLine } from "../../../api/demo.ts";
import { openDatabase } from "../../../api/store/database/database.ts";
import { type ChangeContext, ownDoing } from "../../../api/store/ledger/ledger.ts";
import { makeStore, type Store } from "../../../api/store/store.ts";

const folder = mkdtempSync(join(tmpdir(), "fineband-frozen-"));
const someone: ChangeContext = { kind: "change", by: "", why: "", request: null };
let store: Store;
let app: ReturnType<typeof makeApp>;

beforeAll(async () => {
  store = makeStore(await openDatabase({ databaseUrl: null, folder }), () => new Date(0));
  await saveHostLine(store, fileURLToPath(new URL("../../../distributions/samples", import.meta.url)));
  app = makeApp({ store, uiFolder: null, log: () => {} });
});
afterAll(async () => {
  await store.close();
  rmSync(folder, { recursive: true });
});

const sheetOf = async (id: number) => {
  const answer = await app.request(`/api/frozen/${id}/sheet`);
  return { status: answer.status, text: await answer.text(), headers: answer.headers };
};
const sha256 = (text: string) => createHash("sha256").update(text).digest("hex");

test("a sheet is frozen with its answer and stays as it was, whatever becomes of the lot; today's is another", async () => {
  await store.release(1, { stage: "re-fired", name: "release", note: "" }, ownDoing);
  const then = await sheetOf(1);
  expect(then.status).toBe(200);
  expect(then.text).toMatch(/^<!doctype html>[\s\S]*Garnet host, lot 07, re-fired[\s\S]*In band, six runs/);
  expect(then.text).toBe(await (await app.request("/api/lots/1/sheet?stage=re-fired")).text());
  const [run] = (await store.lot(1))?.measurements.filter((m) => m.stage === "re-fired") ?? [];
  if (run === undefined) throw new Error("the demo lot has runs");
  await store.changeMeasurement(run.id, { ...run, exclusionReason: "bubble" }, null, ownDoing);
  expect((await sheetOf(1)).text).toBe(then.text);
  expect(await (await app.request("/api/lots/1/sheet?stage=re-fired")).text()).not.toBe(then.text);
  await store.removeLot(1, null, someone);
  expect((await sheetOf(1)).text).toBe(then.text);
  await store.step("undo", null, someone);
  expect((await store.verify()).faults).toEqual([]);
});

test("a lot with no band of its own is frozen against the first that is kept, as its sheet and the page have it", async () => {
  const kept = await store.lot(2);
  if (kept === null) throw new Error("the demo has lot 2");
  await store.changeLot(2, { ...kept.lot, bandId: null }, null, ownDoing);
  await store.release(2, { stage: "re-fired", name: "no band", note: "" }, ownDoing);
  const last = (await store.card(2)).released.at(-1);
  const [first] = (await store.bands()).bands;
  expect((await store.releaseRecord(last?.id ?? 0))?.released.inputs.band).toEqual(first?.band);
  expect((await sheetOf(last?.id ?? 0)).text).toContain(first?.band.name);
});

test("a sheet of an earlier version opens byte for byte, also after copy, tables and backup, and runs nothing", async () => {
  // A page no version of today would write: another layout, odd spaces and marks.
  const html =
    '<!DOCTYPE html>\n<html><title>Lot 3 — old</title>\r\n<p style="color:#111">D50 3,41 µm\t"in"</p></html>\n';
  const copy = JSON.parse(await store.copy());
  const [first] = copy.frozen;
  copy.frozen.push({
    ...first,
    id: 7,
    name: "of an earlier version",
    modelVersion: "0.0.3",
    hash: sha256(JSON.stringify({ modelVersion: "0.0.3", inputs: first.inputs, result: first.result })),
    sheet: { html, sha256: sha256(html) },
  });
  await store.importCopy(JSON.stringify(copy), ownDoing);
  const opened = await sheetOf(7);
  expect(opened.text).toBe(html);
  expect(opened.headers.get("etag")).toBe(`"${sha256(html)}"`);
  expect(opened.headers.get("content-security-policy")).toMatch(
    /^sandbox allow-same-origin allow-modals; default-src 'none'/,
  );
  const tables = await store.copyTables();
  await store.importCopy(await store.copy(), ownDoing);
  await store.importTables(tables, ownDoing);
  expect((await sheetOf(7)).text).toBe(html);
  const shown = await (await app.request("/api/frozen/7")).json();
  expect(shown.frozen.modelVersion).toBe("0.0.3");
  expect(shown.frozen.sheet.html).toBe(html);
  expect((await store.verify()).faults).toEqual([]);
});

test("an answer frozen before sheets were kept is still read, and says that it has none", async () => {
  const copy = JSON.parse(await store.copy());
  const { sheet: _, ...bare } = copy.frozen[0];
  copy.frozen.push({ ...bare, id: 8, name: "before sheets" });
  await store.importCopy(JSON.stringify(copy), ownDoing);
  const none = await sheetOf(8);
  expect(none.status).toBe(404);
  expect(none.text).toMatch(/This release record has no sheet/);
  expect((await store.card(1)).released.map((f) => f.hasSheet)).toEqual([true, true, false]);
  expect((await sheetOf(99)).status).toBe(404);
});

test("a sheet that was changed behind the program's back does not give its hash", async () => {
  const copy = JSON.parse(await store.copy());
  copy.frozen[0].sheet.html += " ";
  await store.importCopy(JSON.stringify(copy), ownDoing);
  expect((await store.verify()).faults).toEqual(["Frozen answer 1 does not give its hash."]);
});
