import { strToU8, zipSync } from "fflate";
import { describe, expect, test } from "vitest";
import { readTable } from "#distributions/tables/readTable.ts";
import { isWorkbook, workbookText } from "#distributions/tables/workbook/workbook.ts";
import { run } from "../../../../api/commands/run.ts";
import { parts, sheetOf, table } from "./workbookParts.ts";

/** The refusal, and the processor's time of the quickest of three: what else the process does meanwhile is no part of it. */
async function refusalOf(bytes: Uint8Array): Promise<{ message: string; ms: number }> {
  let message = "";
  let ms = Number.POSITIVE_INFINITY;
  for (let round = 0; round < 3; round++) {
    const begun = process.cpuUsage().user;
    const text = await workbookText(bytes);
    ms = Math.min(ms, (process.cpuUsage().user - begun) / 1000);
    message = typeof text === "string" ? "" : text.message;
  }
  return { message, ms };
}

describe("a workbook", () => {
  test("ranges typed with decimal commas stand beside cells that are numbers", async () => {
    const rows = [
      ["size um", "volume %"],
      ["<0,5", 12.5],
      ["0,5–1,25", 37.5],
      ["1,25–2,5", 40],
      ["2,5–5", 10],
    ];
    const text = await workbookText(
      zipSync(
        parts([
          sheetOf(rows.map((row) => row.map((c) => (typeof c === "string" ? c.replace("<", "&lt;") : c)))),
        ]),
      ),
    );
    const { measurements } = readTable(typeof text === "string" ? text : "", "host.xlsx", {});
    expect(measurements.map(({ distribution: d }) => [d.lowerUm, d.upperUm, d.shares, d.belowShare])).toEqual(
      [[[0.5, 1.25, 2.5], [1.25, 2.5, 5], [0.375, 0.4, 0.1], 0.125]],
    );
  });
  test("a mean in fractions beside runs shown in per cent is no run", async () => {
    const runs = [
      ["um", "A volume", "B volume", "mean"],
      ...[
        [1, 2, 4],
        [2, 8, 6],
        [4, 40, 50],
        [8, 40, 30],
        [16, 10, 10],
      ].map(([x = 0, a = 0, b = 0]) => [x, `${a}%`, `${b}%`, (a + b) / 200]),
    ];
    const text = await workbookText(zipSync(parts([sheetOf(runs)])));
    const { measurements } = readTable(typeof text === "string" ? text : "", "host.xlsx", { edge: "upper" });
    expect(measurements.map(({ name }) => name)).toEqual(["A volume", "B volume"]);
  });
  test("is read as its cells, sheet after sheet", async () => {
    const bytes = zipSync(parts([sheetOf(table("host A volume %")), sheetOf(table("host B volume %"))]));
    expect(isWorkbook(bytes)).toBe(true);
    const text = await workbookText(bytes);
    const { measurements, problems } = readTable(typeof text === "string" ? text : "", "host.xlsx", {});
    expect(problems.filter((p) => p.severity !== "note")).toEqual([]);
    expect(measurements.map((m) => m.name)).toEqual(["host A volume %", "host B volume %"]);
    expect(measurements[0]?.distribution.upperUm).toEqual([1.259, 2, 4]);
  });

  test("rows are those of the sheet they stand in, which is named; a sheet without a table is said so", async () => {
    const good = table("host A volume %");
    const bad = [
      ["remark"],
      ["lower um", "upper um", "host B volume %"],
      [0.5, 1.259, "soft"],
      [1.259, 2, 80],
      [2, 4, 20],
    ];
    const bytes = zipSync(parts([sheetOf(good), sheetOf(bad), sheetOf([["only words"]])]));
    const text = await workbookText(bytes);
    const { measurements, problems, outcomes } = readTable(
      typeof text === "string" ? text : "",
      "host.xlsx",
      {},
    );
    expect(measurements.map((m) => m.name)).toEqual(["host A volume %"]);
    const [refused] = problems.filter((p) => p.severity === "refused");
    expect(refused).toMatchObject({ sheet: "Sheet 2", row: 3, column: 3, measurement: "host B volume %" });
    expect(refused?.message).toMatch(/^Row 3, column 3: "soft" is no number/);
    expect(problems.map((p) => p.message)).toContain(
      'The sheet "Sheet 3" holds no table of sizes and was left out.',
    );
    expect(outcomes.map((o) => [o.measurement, o.state])).toEqual([
      ["host A volume %", "read"],
      ["host B volume %", "refused"],
    ]);
  });

  test("a bomb of 1 GB is refused from its directory", async () => {
    const zeros = new Uint8Array(1e7);
    const files = parts([sheetOf(table("volume %"))]);
    for (let i = 0; i < 100; i++) files[`xl/media/${i}.xml`] = i === 0 ? zeros : new Uint8Array(0);
    const bytes = zipSync(files, { level: 9 });
    // Each part says 10 MB: 1 GB in all.
    const view = new DataView(bytes.buffer);
    for (let at = 0; at + 46 < bytes.length; at++)
      if (view.getUint32(at, true) === 0x02014b50) view.setUint32(at + 24, 1e7, true);
    const { message, ms } = await refusalOf(bytes);
    expect(message).toMatch(/would unpack to 1050 MB/);
    expect(ms).toBeLessThan(200);
  });

  test("two cells a thousand million rows apart are refused at once", async () => {
    const files = parts([sheetOf(table("volume %"))]);
    files["xl/worksheets/sheet1.xml"] = strToU8(
      '<worksheet><sheetData><row r="1"><c r="A1"><v>1</v></c></row><row r="999999999"><c r="A999999999"><v>1</v></c></row></sheetData></worksheet>',
    );
    const { message, ms } = await refusalOf(zipSync(files));
    expect(message).toMatch(/reaches over 999999999 rows/);
    expect(ms).toBeLessThan(200);
  });

  test("a part that is larger than it says stops at once", async () => {
    const files = parts([sheetOf(table("volume %"))]);
    files["xl/worksheets/sheet2.xml"] = new Uint8Array(60e6);
    const bytes = zipSync(files, { level: 9 });
    const view = new DataView(bytes.buffer);
    for (let at = 0; at + 46 < bytes.length; at++)
      if (view.getUint32(at, true) === 0x02014b50 && view.getUint32(at + 24, true) === 60e6)
        view.setUint32(at + 24, 1000, true);
    const { message, ms } = await refusalOf(bytes);
    expect(message).toMatch(/larger than it says/);
    expect(ms).toBeLessThan(200);
  });

  test.each([
    [
      "entities that grow",
      {
        "xl/worksheets/sheet1.xml": strToU8(
          `<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><worksheet/>`,
        ),
      },
      /declares entities/,
    ],
    ["a name that points outside", { "../../outside.xml": strToU8("<x/>") }, /points outside of it/],
    ["a name from the root", { "/etc/outside.xml": strToU8("<x/>") }, /points outside of it/],
  ])("%s is refused within 200 ms", async (_, more, words) => {
    const { message, ms } = await refusalOf(zipSync({ ...parts([sheetOf(table("volume %"))]), ...more }));
    expect(message).toMatch(words);
    expect(ms).toBeLessThan(200);
  });

  test("too many parts, a damaged end and a packed file of another kind are refused in words", async () => {
    const many = Object.fromEntries(Array.from({ length: 2001 }, (_, i) => [`${i}.xml`, new Uint8Array(0)]));
    expect((await refusalOf(zipSync(many))).message).toMatch(/2001 parts/);
    const whole = zipSync(parts([sheetOf(table("volume %"))]));
    expect((await refusalOf(whole.slice(0, whole.length - 40))).message).toMatch(/damaged or not complete/);
    expect((await refusalOf(zipSync({ "a.txt": strToU8("words") }))).message).toMatch(/could not be read/);
  });

  test("the command line reads one, and a bad one never loses the others", async () => {
    const good = zipSync(parts([sheetOf(table("host A volume %"))]));
    const bad = zipSync({ ...parts([]), "../x.xml": strToU8("<x/>") });
    let out = "";
    let err = "";
    const exit = await run(["describe", "good.xlsx", "bad.xlsx", "--json"], {
      readFile: (path) => (path === "good.xlsx" ? good : bad),
      readStandardInput: () => new Uint8Array(),
      print: (text) => {
        out += text;
      },
      complain: (text) => {
        err += text;
      },
      version: "test",
      ...noFolders,
    });
    expect(exit).toBe(2);
    expect(JSON.parse(out).measurements.map((m: { name: string }) => m.name)).toEqual(["host A volume %"]);
    expect(err).toMatch(/refused: bad.xlsx: .*points outside/);
  });
});

const noFolders = {
  writeFile: () => {},
  writePieces: async () => 0,
  filesIn: () => null,
  isStopped: async () => false,
  readFolder: () => null,
  writeFolder: () => {},
  openStore: () => Promise.reject(new Error("no store")),
  openAccounts: () => {
    throw new Error("no accounts");
  },
  places: { isInstalled: false, data: "", settings: null, samples: "", page: "" },
  environment: {},
  serve: async () => {},
  now: () => new Date(0),
};
