import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { strFromU8, unzipSync } from "fflate";
import Papa from "papaparse";
import readWorkbook from "read-excel-file/universal";
import { afterAll, beforeAll, expect, test } from "vitest";
import { formulaStart } from "../../../model/words/formulaStart.ts";
import { type KeptHere, keepHere } from "../saved.ts";

let here: KeptHere;
let bytes: ArrayBuffer;
let sheets: Awaited<ReturnType<typeof readWorkbook>>;
const folder = mkdtempSync(join(tmpdir(), "fineband-export-"));
beforeAll(async () => {
  here = await keepHere({ withDemo: true });
  bytes = await (await here.ask("GET", "/api/export?ids=1")).arrayBuffer();
  sheets = await readWorkbook(bytes);
});
afterAll(async () => {
  rmSync(folder, { recursive: true });
  await here.close();
});

const names = ["lots", "verdicts", "sizes", "curves", "stages", "portions", "results", "method"];

test("lots come as a workbook whose cells are numbers, the same as describe gives", async () => {
  expect(sheets.map(({ sheet }) => sheet)).toEqual(names);
  const [heading = [], first = []] = sheets.find(({ sheet }) => sheet === "sizes")?.data ?? [];
  const cell = (column: string) => first[heading.indexOf(column)];
  const { measurements } = await (await here.ask("GET", "/api/lots/1")).json();
  const { lowerUm, upperUm, shares } = measurements[0].distribution;
  expect(cell("d50Um")).toBeTypeOf("number");
  // D50 by hand: the class in which the running sum passes one half, in ln x.
  let below: number = measurements[0].distribution.belowShare;
  let d50 = Number.NaN;
  for (const [i, share] of shares.entries()) {
    if (below < 0.5 && below + share >= 0.5)
      d50 = lowerUm[i] * (upperUm[i] / lowerUm[i]) ** ((0.5 - below) / share);
    below += share;
  }
  expect(cell("d50Um")).toBeCloseTo(d50, 9);
  expect(sheets.find(({ sheet }) => sheet === "curves")?.data.length).toBeGreaterThan(shares.length);
});

test("and as a ZIP of CSV with the same rows", async () => {
  const answer = await here.ask("GET", "/api/export?ids=1&form=csv");
  const files = unzipSync(new Uint8Array(await answer.arrayBuffer()));
  expect(Object.keys(files)).toEqual(names.map((name) => `${name}.csv`));
  for (const { sheet, data } of sheets) {
    const text = strFromU8(files[`${sheet}.csv`] ?? new Uint8Array());
    expect(Papa.parse(text, { skipEmptyLines: true }).data.length, sheet).toBe(data.length);
  }
});

test("Python's own zipfile and XML find the sheets and their numbers", (context) => {
  const file = join(folder, "lots.xlsx");
  writeFileSync(file, new Uint8Array(bytes));
  const script = `
import sys, zipfile, xml.etree.ElementTree as E
z = zipfile.ZipFile(sys.argv[1]); assert z.testzip() is None
n = {"m": "http://schemas.openxmlformats.org/spreadsheetml/2006/main"}
print(",".join(s.get("name") for s in E.fromstring(z.read("xl/workbook.xml")).findall(".//m:sheet", n)))
cells = E.fromstring(z.read("xl/worksheets/sheet4.xml")).findall(".//m:sheetData/m:row/m:c", n)
print(sum(1 for c in cells if c.get("t") in (None, "n") and c.find("m:v", n) is not None))
`;
  const run = spawnSync("python3", ["-c", script, file], { encoding: "utf8" });
  if (run.error !== undefined || run.status === 127) return context.skip("python3 is not here");
  expect(run.stderr).toBe("");
  const [named, numbers] = run.stdout.trim().split("\n");
  expect(named).toBe(names.join(","));
  expect(Number(numbers)).toBeGreaterThan(500);
});

test("lots that are not there are refused", async () => {
  expect((await here.ask("GET", "/api/export?ids=999999")).status).toBe(404);
  expect((await here.ask("GET", "/api/export?ids=1;2")).status).toBe(422);
});

test("reports of several lots, or of a month's, are one page with a sheet for each", async () => {
  const many = await here.ask("GET", "/api/sheets?ids=1,3&report=grade");
  expect(many.status).toBe(200);
  const html = await many.text();
  expect(html.match(/<article class="sheet grade">/g)).toHaveLength(2);
  expect(html.match(/<h1>/g)).toHaveLength(2);
  expect(html.match(/<!doctype html>/g)).toHaveLength(1);
  // Its one style sheet is known to the policy by its hash, as a single report's is.
  expect(many.headers.get("content-security-policy")).toMatch(
    /^sandbox allow-same-origin allow-modals; default-src 'none'; style-src 'sha256-/,
  );
  // What a sheet says does not hang on the sheets beside it.
  const alone = await (await here.ask("GET", "/api/lots/3/sheet?report=grade")).text();
  const [, main = ""] = /(<main>[\s\S]*<\/footer>)/.exec(alone) ?? [];
  expect(html).toContain(main);
  expect((await here.ask("GET", "/api/sheets?month=1969-12")).status).toBe(404);
  expect((await here.ask("GET", "/api/sheets?month=1970-13")).status).toBe(422);
  expect((await here.ask("GET", "/api/sheets")).status).toBe(422);
});

test("CSV for people has an apostrophe before what a spreadsheet would run, unless it is told not to, and none before a number", async () => {
  await here.ask("POST", "/api/lots", {
    name: "=1+1",
    material: "x",
    densityGPerCm3: 1,
    note: "-5",
  });
  const { lots: all } = await here.store.lots();
  const id = all.find(({ name }) => name === "=1+1")?.id;
  const lots = async (more: string) => {
    const answer = await here.ask("GET", `/api/export?ids=${id}&form=csv${more}`);
    return strFromU8(unzipSync(new Uint8Array(await answer.arrayBuffer()))["lots.csv"] ?? new Uint8Array());
  };
  expect(await lots("")).toContain("'=1+1");
  expect(await lots("")).not.toContain("'-5");
  const asSaved = await lots("&texts=asSaved");
  expect(asSaved).toContain("=1+1");
  expect(asSaved).not.toContain("'=1+1");
  // What comes back in again is never changed.
  expect((await here.store.copyTables()).get("lots.csv")).not.toContain("'=1+1");
  expect(await here.store.copy()).toContain('"=1+1"');
  for (const [text, isFormula] of [
    ["-5", false],
    ["+1.5e-3", false],
    ["-.5", false],
    ["-5+cmd", true],
    ["@sum", true],
    ["\tx", true],
    ["5", false],
    ["-1e5-1", true],
  ] as const)
    expect(formulaStart.test(text), text).toBe(isFormula);
});
