import { strToU8, zipSync } from "fflate";
import { describe, expect, test } from "vitest";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { jsonCopy, readJsonCopy } from "#distributions/tables/copies/jsonCopy.ts";
import { readColumns } from "#distributions/tables/reading/readColumns.ts";
import { readHistory } from "#distributions/tables/reading/readHistory.ts";
import { isWorkbook } from "#distributions/tables/workbook/workbook.ts";
import { workbookFault } from "#distributions/tables/workbook/workbookArchive.ts";

const said = (bytes: Uint8Array) => workbookFault(bytes)?.message ?? null;
const u8 = (text: string) => strToU8(text);
/** Where a record of the archive begins: its signature, by APPNOTE 4.3. */
function placesOf(bytes: Uint8Array, signature: number): number[] {
  const view = new DataView(bytes.buffer);
  return Array.from(bytes, (_, at) => at).filter(
    (at) => at + 4 <= bytes.length && view.getUint32(at, true) === signature,
  );
}
const local = 0x04034b50;
const central = 0x02014b50;

describe("the parts of a workbook before it is opened", () => {
  const plain = { "xl/a.xml": u8("<a/>"), "xl/b.rels": u8("<b/>"), "xl/c.bin": u8("c") };
  test("a whole one has no fault, packed or stored, with a comment behind it or other bytes before its own", () => {
    for (const level of [0, 9] as const) {
      const bytes = zipSync(plain, { level });
      expect(said(bytes)).toBeNull();
      const shifted = new Uint8Array(bytes.length + 7);
      shifted.set(bytes, 7);
      expect(said(shifted.subarray(7))).toBeNull();
      // A comment is 65,535 bytes at most; what lies further from the end is no directory.
      const commented = new Uint8Array(bytes.length + 65_535);
      commented.set(bytes);
      expect(said(commented)).toBeNull();
      const beyond = new Uint8Array(bytes.length + 65_536);
      beyond.set(bytes);
      expect(said(beyond)).toMatch(/damaged or not complete/);
    }
    expect(said(new Uint8Array(0))).toMatch(/damaged or not complete/);
    expect(said(new Uint8Array(21))).toMatch(/damaged or not complete/);
    // An archive of nothing is its end record alone.
    expect(said(zipSync({}))).toBeNull();
  });
  test("names and extra fields of any length are stepped over", () => {
    const bytes = zipSync({
      "a/long/name/of/a/part.xml": [u8("<a/>"), { extra: { 7: u8("more") } }],
      "b.xml": [u8("<!DOCTYPE b>"), { comment: "x" }],
    });
    expect(workbookFault(bytes)).toMatchObject({
      found: "a document type",
      message: expect.stringContaining('"b.xml"'),
    });
  });
  test("2,000 parts and 64 MB are let through, one more of either is not", () => {
    const many = (count: number) =>
      zipSync(Object.fromEntries(Array.from({ length: count }, (_, i) => [`${i}.bin`, new Uint8Array(0)])));
    expect(said(many(2000))).toBeNull();
    expect(workbookFault(many(2001))).toMatchObject({ found: "2001 parts", expected: "at most 2000" });
    const saying = (size: number) => {
      const bytes = zipSync({ "a.bin": u8("a"), "b.bin": u8("b") });
      const view = new DataView(bytes.buffer);
      for (const at of placesOf(bytes, central)) view.setUint32(at + 24, size, true);
      return bytes;
    };
    expect(said(saying(32e6))).toBeNull();
    expect(workbookFault(saying(33e6))).toMatchObject({
      message: expect.stringContaining("would unpack to 66 MB, more than 64 MB"),
      found: "66 MB",
      expected: "at most 64 MB",
    });
  });
  test.each(["../a.xml", "a/../b.xml", "a\\..\\b.xml", "/a.xml", "\\a.xml", "c:a.xml", "a\0.xml"])(
    "a name that points outside: %j",
    (name) => {
      expect(workbookFault(zipSync({ [name]: u8("<a/>") }))).toMatchObject({
        found: name,
        expected: "names inside the workbook",
      });
    },
  );
  test("dots in a name are no harm", () => expect(said(zipSync({ "a..b/c...xml": u8("<a/>") }))).toBeNull());
  test("a part that is not where the directory says, or is damaged", () => {
    const moved = zipSync(plain);
    const [first = 0] = placesOf(moved, central);
    new DataView(moved.buffer).setUint32(first + 42, 1, true);
    expect(workbookFault(moved)).toMatchObject({
      found: "xl/a.xml",
      message: expect.stringContaining("is not where it should be"),
    });
    new DataView(moved.buffer).setUint32(first + 42, moved.length - 29, true);
    expect(said(moved)).toContain("is not where it should be");
    const damaged = zipSync({ "a.xml": u8("<a>many words, many words, many words</a>") }, { level: 9 });
    const [at = 0] = placesOf(damaged, local);
    damaged.fill(0xff, at + 30 + 5, at + 30 + 9);
    expect(workbookFault(damaged)).toMatchObject({
      found: "a.xml",
      message: expect.stringContaining("is damaged"),
    });
    const torn = zipSync(plain);
    const [one = 0] = placesOf(torn, central);
    torn[one] = 0;
    expect(said(torn)).toMatch(/damaged or not complete/);
  });
  test("a part is as large as it says and no larger", () => {
    const saying = (less: number, level: 0 | 9) => {
      const bytes = zipSync({ "a.xml": u8(`<a>${"x".repeat(4993)}</a>`) }, { level });
      for (const at of placesOf(bytes, central))
        new DataView(bytes.buffer).setUint32(at + 24, 5000 - less, true);
      return bytes;
    };
    for (const level of [0, 9] as const) {
      expect(said(saying(0, level))).toBeNull();
      expect(workbookFault(saying(1, level))).toMatchObject({
        found: "more than 4999 bytes",
        expected: "4999 bytes",
      });
    }
  });
  test("document types are found wherever they stand and however they are written", () => {
    const behind = (blanks: number, level: 0 | 9 = 9) =>
      said(zipSync({ "a.xml": u8(`${" ".repeat(blanks)}<!DOCTYPE a>`) }, { level }));
    for (const level of [0, 9] as const)
      for (const blanks of [0, 2040, 65_530, 300_000])
        expect(behind(blanks, level)).toMatch(/declares entities/);
    const wide = new Uint8Array([...u8("<!entity a>")].flatMap((b) => [b, 0]));
    expect(said(zipSync({ "a.rels": wide }))).toMatch(/declares entities/);
    expect(said(zipSync({ "a.bin": u8("<!DOCTYPE a>") }))).toBeNull();
  });
  test("a part that is no XML is refused, a marked or empty one is not", () => {
    expect(said(zipSync({ "a.xml": u8("words") }))).toMatch(/is not what its name says/);
    expect(said(zipSync({ "a.xml": new Uint8Array([0xef, 0xbb, 0xbf, ...u8(" <a/>")]) }))).toBeNull();
    expect(said(zipSync({ "a.xml": new Uint8Array(0) }))).toBeNull();
  });
  test("the rectangle that the cells of a sheet span is known before it is opened", () => {
    const sheet = (cells: string) =>
      said(zipSync({ "s.xml": u8(`<worksheet><sheetData>${cells}</sheetData></worksheet>`) }));
    const cell = (at: string) => `<row r="1"><c r="${at}"><v>1</v></c></row>`;
    expect(sheet(cell("A1") + cell("B200000"))).toBeNull();
    expect(sheet(cell("A1") + cell("A999999999"))).toMatch(/reaches over 999999999 rows/);
    expect(sheet('<row r="200001"/>')).toMatch(/200001 rows/);
    expect(sheet(cell("AAAA1"))).toMatch(/no place/);
    expect(sheet(cell("AB200000"))).toMatch(/200000 rows and 28 columns/);
    // Written so as not to be seen.
    for (const hidden of ['<c t="n"r="A999999999"/>', "<c\n r = 'A999999999'/>", '<c x=">" r="A999999999"/>'])
      expect(sheet(hidden), hidden).toMatch(/999999999 rows/);
    for (const odd of ['<row r="1e9"/>', '<c r="A&#57;99999999"/>', '<c r="A1234567890"/>'])
      expect(sheet(odd), odd).toMatch(/is no place in a sheet/);
    // Far from each other in the file, over the bounds of what is unpacked at once.
    expect(sheet(`${cell("A1").repeat(3000)}${cell("A300000")}`)).toMatch(/300000 rows/);
    expect(said(zipSync({ "theme.xml": u8('<a l="1" r="-80000"/>') }))).toBeNull();
  });
  test("four bytes tell a packed file", () => {
    const of = (...bytes: number[]) => isWorkbook(new Uint8Array(bytes));
    expect(of(0x50, 0x4b, 3, 4)).toBe(true);
    for (const bytes of [[0x51, 0x4b, 3, 4], [0x50, 0x4c, 3, 4], [0x50, 0x4b, 2, 4], [0x50, 0x4b, 3, 5], []])
      expect(of(...bytes)).toBe(false);
  });
});

describe("tables with known columns", () => {
  const names = { words: ["lot"], required: ["sizeUm"], optional: ["feed"], optionalWords: ["note"] };
  const read = (text: string) => readColumns(text, "t.csv", names);
  test("rows by their heading, in any order and any case, blank lines passed over", () => {
    expect(read("\nFeed,LOT,sizeum,note\n5,a,1.5,x\n\n,b,2,\n")).toEqual({
      problems: [],
      unknown: [],
      rows: [
        { row: 3, text: { lot: "a", note: "x" }, number: { sizeUm: 1.5, feed: 5 } },
        { row: 5, text: { lot: "b", note: "" }, number: { sizeUm: 2, feed: null } },
      ],
    });
    expect(read("lot;sizeUm;feed\na;1,5;2\nb;2,5;3\n").rows.map((r) => r.number)).toEqual([
      { sizeUm: 1.5, feed: 2 },
      { sizeUm: 2.5, feed: 3 },
    ]);
  });
  test("a missing column is named with the heading's row; an empty table has none", () => {
    expect(read("\nlot,size\na,1\n").problems).toMatchObject([
      { row: 2, found: "lot, size", expected: "sizeUm" },
    ]);
    expect(read("").problems).toMatchObject([
      { row: null, found: "an empty table", expected: "lot" },
      { row: null, expected: "sizeUm" },
    ]);
  });
  test.each([
    ["a,0,", "0", 2],
    ["a,-1,", "-1", 2],
    ["a,,", "an empty cell", 2],
    ["a,x,", "x", 2],
    ["a,1,0", "0", 3],
  ])("a row of %s is left out, with its cell", (row, found, column) => {
    const { rows, problems } = read(`lot,sizeUm,feed\nb,2,3\n${row}\nc,2,3\n`);
    expect(rows.map((r) => r.text["lot"])).toEqual(["b", "c"]);
    expect(problems).toMatchObject([
      { row: 3, column, found, message: expect.stringMatching(/^Row 3: .* must be a number above zero\./) },
    ]);
  });
});

describe("a history of lots", () => {
  test("numbers by column; words and bad cells with their place", () => {
    const { lots, columns, problems } = readHistory(
      "lot,a,b,c\none,1,red,\ntwo,,blue,5\nthree,x,green,6\n",
      "h.csv",
    );
    expect(lots).toEqual(["one", "two", "three"]);
    expect(columns).toEqual([{ name: "c", values: [null, 5, 6] }]);
    expect(problems.map((p) => [p.severity, p.row, p.column, p.found])).toEqual([
      ["refused", 4, 2, "x"],
      ["note", 2, 3, "red"],
    ]);
    expect(problems[0]?.message).toContain("a of three is no number");
  });
  test("a heading alone, or a column alone, is none", () => {
    expect(readHistory("lot,a\n", null).problems[0]?.found).toBe("1 rows");
    expect(readHistory("lot\none\ntwo\n", null).problems[0]?.found).toBe("3 rows");
  });
});

describe("a copy in JSON", () => {
  const distribution = sizeDistribution({
    quantity: "volume",
    lowerUm: [1, 2],
    upperUm: [2, 4],
    shares: [0.25, 0.5],
    belowShare: 0.25,
  });
  const written = jsonCopy(["a", "b", "c"].map((name) => ({ file: null, name, distribution })));
  const damaged = (change: (list: Record<string, unknown>[]) => void) => {
    const copy = JSON.parse(written);
    change(copy.measurements);
    return readJsonCopy(JSON.stringify(copy), "c.json");
  };
  test("one that is damaged is told by its place, and the others are read", () => {
    for (const change of [
      { name: 5 },
      { distribution: { ...distribution, quantity: "weight" } },
      { distribution: { ...distribution, measuredAs: "x" } },
      { distribution: { ...distribution, inClass: "x" } },
      { distribution: { ...distribution, belowShare: "0.25" } },
      { distribution: { ...distribution, aboveShare: null } },
      { distribution: { ...distribution, shares: [0.25, "0.5"] } },
      { distribution: { ...distribution, lowerUm: 1 } },
      { distribution: null },
    ]) {
      const found = damaged((list) => Object.assign(list[1] ?? {}, change));
      expect(found?.measurements.map((m) => m.name)).toEqual(["a", "c"]);
      expect(found?.problems).toHaveLength(1);
      expect(found?.problems[0]?.message).toMatch(/^Measurement 2 of the copy is damaged: /);
    }
  });
  test("another schema, none, or half a copy", () => {
    const of = (text: string) => readJsonCopy(text, "c.json")?.problems[0];
    expect(of('{"fineband":"measurements","schema":2,"measurements":[]}')?.found).toBe("schema 2");
    expect(of('{"fineband":"measurements","measurements":[]}')?.found).toBe("no schema");
    expect(of('{"fineband":"measurements","schema":1}')?.found).toBe("schema 1");
    expect(of(written.slice(0, 60))?.found).toBe("no schema");
    expect(readJsonCopy("a,b\n1,2\n", null)).toBeNull();
  });
});
