import { describe, expect, test } from "vitest";
import { decode, mended } from "#distributions/tables/text/decode.ts";
import { readCells } from "#distributions/tables/text/delimiterAndDecimalMark.ts";
import { figuresText } from "#distributions/tables/text/figuresText.ts";
import { decimalMarkStated, numberIn } from "#distributions/tables/text/numbers.ts";
import { rangeIn, sizeIn } from "#distributions/tables/text/sizeText.ts";
import { unitIn } from "#distributions/tables/text/units.ts";
import { saysShares, saysSize } from "#distributions/tables/text/words.ts";

describe("a number in a cell, by the decimal mark", () => {
  test.each([
    ["12", 12, 12],
    ["-3.5", -3.5, null],
    ["-3,5", null, -3.5],
    ["+.5", 0.5, null],
    [",5", null, 0.5],
    ["5.", 5, null],
    ["1e-3", 1e-3, 1e-3],
    ["1.5E+2", 150, null],
    ["1,234", 1234, 1.234],
    ["1.234", 1.234, 1234],
    ["1,234.5", 1234.5, null],
    ["1.234,5", null, 1234.5],
    ["1,234,567", 1234567, null],
    ["0,234", null, 0.234],
    ["12,34", null, 12.34],
    ["1 234.5", 1234.5, null],
    ["1 234,5", null, 1234.5],
    ["1'234", 1234, 1234],
    ["1\u00a0234", 1234, 1234],
    ["'42", 42, 42],
    ["−3", -3, -3],
    ["–3", -3, -3],
    ["2e−3", 2e-3, 2e-3],
    ["", null, null],
    ["abc", null, null],
    ["1a", null, null],
    ["12 34", null, null],
    ["1e400", null, null],
    ["0123456789:", null, null],
    [":1", null, null],
    ["/1", null, null],
    ["1".repeat(60), Number("1".repeat(60)), Number("1".repeat(60))],
    ["1".repeat(61), null, null],
  ] as const)("%s", (cell, point, comma) => {
    expect([numberIn(cell, "."), numberIn(cell, ",")]).toEqual([point, comma]);
  });
  test("what a cell tells of the mark", () => {
    const entered = ["1.5", "1,5", "1,234", "1.234", "12", "x", "1.234,5"].map(decimalMarkStated);
    expect(entered).toEqual([".", ",", "either", "either", null, null, ","]);
  });
});

describe("a size in a cell", () => {
  test.each([
    ["1.5", 1.5, null, null],
    ["<1.5", 1.5, null, "below"],
    ["under 2 um", 2, "um", "below"],
    ["> 8", 8, null, "above"],
    ["850 nm", 850, "nm", null],
    ["200 mesh", 200, "mesh", null],
    ["pan", 0, null, null],
  ] as const)("%s", (text, value, unit, open) => {
    expect(sizeIn(text, ".")).toEqual({ value, unit, open });
  });
  test("no size, and none in a sentence", () => {
    expect(sizeIn("", ".")).toBeNull();
    expect(sizeIn("coarse", ".")).toBeNull();
    expect(sizeIn(`<${" ".repeat(58)}1`, ".")?.value).toBe(1);
    expect(sizeIn(`<${" ".repeat(59)}1`, ".")).toBeNull();
  });
  test.each([
    ["1-2", "1", "2"],
    ["1 to 2 µm", "1 µm", "2 µm"],
    ["0.5…0.63", "0.5", "0.63"],
    ["500 nm - 1 um", "500 nm", "1 um"],
  ])("two sizes: %s", (text, from, to) => {
    expect(rangeIn(text, ".")).toEqual({ from, to });
  });
  test.each(["1", "-1", "1-", "a-b", "1-b", "<1-2", `1-${"0".repeat(58)}2`])("no two sizes: %s", (text) => {
    expect(rangeIn(text, ".")).toBeNull();
  });
  test("sixty signs at most", () => {
    expect(rangeIn(`1-${"0".repeat(57)}2`, ".")).not.toBeNull();
  });
});

test("four figures in a message, and powers of ten beyond seven places", () => {
  const said = [0, 1234.56, 0.00012346, 1e7, 9999000, 1e-5, 9.9e-6, -1e7, Number.POSITIVE_INFINITY].map(
    figuresText,
  );
  expect(said).toEqual([
    "0",
    "1235",
    "0.0001235",
    "1.00e+7",
    "9999000",
    "0.00001",
    "9.90e-6",
    "-1.00e+7",
    "a number too large to hold",
  ]);
});

describe("the sign between fields", () => {
  const found = (text: string) => {
    const { cells, delimiter, decimalMark } = readCells(text);
    return { first: cells[1], delimiter, decimalMark };
  };
  test.each([
    ["a,b\n1.5,20\n2.5,80\n", ",", "."],
    ["a;b\n1,5;20,5\n2,5;79,5\n", ";", ","],
    ["a\tb\n1,5\t20,5\n2,5\t79,5\n", "\t", ","],
    ["a|b\n1.5|20\n2.5|80\n", "|", "."],
    ["a  b\n1.5  20\n2.5  80\n", " ", "."],
  ])("%j", (text, delimiter, decimalMark) => {
    expect(found(text)).toMatchObject({ delimiter, decimalMark });
    expect(found(text).first).toHaveLength(2);
  });
  test("a cell left empty in a table from a spreadsheet keeps its column, blanks in the heading or not", () => {
    const { delimiter, first } = found("size um\trun 1\trun 2\n1\t\t30\n2\t20\t60\n4\t80\t10\n");
    expect([delimiter, first]).toEqual(["\t", ["1", "", "30"]]);
  });
  test("a list of two columns above the table, parted by blanks, parts no field of the table", () => {
    const list = "background\n1 12\n2 14\n3 11\n4 9\n5 8\n";
    const table = "lower um,upper um,A,B\n1,2,20,30\n2,4,60,40\n4,8,20,30\n";
    expect(found(`${list}\n${table}`).delimiter).toBe(",");
  });
  test("what was asked is not weighed", () => {
    expect(readCells("a;b\n1,5;2\n", { delimiter: "," }).cells[1]).toEqual(["1", "5;2"]);
    expect(readCells("a;b\n1,5;2\n", { mark: "." }).decimalMark).toBe(".");
  });
  test("one number that tells the mark tells it for all", () => {
    const isOpen = (text: string) => readCells(text, { delimiter: ";" }).isMarkOpen;
    expect(isOpen("1,234;5\n1.234;6\n")).toBe(true);
    expect(isOpen("1,234;2,5\n")).toBe(false);
    expect(isOpen("1.234;2.5\n")).toBe(false);
    expect(isOpen("12;34\n")).toBe(false);
    expect(isOpen(`1,234;1\n${"1;1\n".repeat(398)}2,5;1\n`)).toBe(false);
    expect(isOpen(`1,234;1\n${"1;1\n".repeat(399)}2,5;1\n`)).toBe(true);
  });
  test("a stray quote keeps each line by itself", () => {
    expect(readCells('5" sieve,1\n2,3\n4,5\n').cells).toEqual([
      ['5" sieve', "1"],
      ["2", "3"],
      ["4", "5"],
      [""],
    ]);
    expect(readCells('"5 sieve,1\n2,3\n4,5\n', { delimiter: "," }).cells.slice(1)).toEqual([
      ["2", "3"],
      ["4", "5"],
      [""],
    ]);
  });
  test("no more than 20,000 columns and 200,000 rows", () => {
    for (const sign of [",", ";", "\t", "|"]) {
      expect(readCells(`1${sign}`.repeat(19_999)).tooLarge).toBeNull();
      expect(readCells(`1${sign}`.repeat(20_000)).tooLarge).toBe("20001 columns");
    }
    // Counted line by line.
    expect(readCells(`${"1,".repeat(15_000)}\n${"1,".repeat(15_000)}`).tooLarge).toBeNull();
    expect(readCells("1\n".repeat(200_000), { delimiter: ",", mark: "." }).tooLarge).toBeNull();
    expect(readCells("1\n".repeat(200_001)).tooLarge).toBe("200001 rows");
  });
});

describe("blanks between cells", () => {
  const rows = (text: string) => readCells(text, { delimiter: " " }).cells;
  test("numbers part at each blank, words at two, or at one where that is as many as the numbers are", () => {
    expect(rows("size um   volume %\n1 20\n2 80")).toEqual([
      ["size um", "volume %"],
      ["1", "20"],
      ["2", "80"],
    ]);
    expect(rows("size share\n1 20\n2 80")[0]).toEqual(["size", "share"]);
    expect(rows("made by hand\n1 20\n2 80")[0]).toEqual(["made by hand"]);
    expect(rows("a b c   d\n1 20 3\n2 80 3")[0]).toEqual(["a b c", "d"]);
    expect(rows("1 20\n\n2 80")[1]).toEqual([]);
  });
  test("units and signs go with their number, a dash or n.d. is a cell", () => {
    expect(rows("850 nm 20 %\n< 1 30\n2 -\n3 n.d.")).toEqual([
      ["850 nm", "20 %"],
      ["<1", "30"],
      ["2", "-"],
      ["3", "n.d."],
    ]);
  });
  test("the width that most lines have counts", () => {
    expect(rows("a b\n1 2 3\n1 2\n3 4")[0]).toEqual(["a", "b"]);
    expect(rows("a b c\n1 2 3\n1 2\n3 4")[0]).toEqual(["a b c"]);
  });
});

describe("bytes as text", () => {
  const text = "1;2\n";
  const wide = (s: string, isBig: boolean) =>
    new Uint8Array([...s].flatMap((c) => (isBig ? [0, c.charCodeAt(0)] : [c.charCodeAt(0), 0])));
  test("two letters are enough to see every second byte zero", () => {
    expect(decode(wide(text, false))).toMatchObject({
      text,
      encoding: "utf-16le",
      evidence: "every second byte is zero",
    });
    expect(decode(wide(text, true))).toMatchObject({
      text,
      encoding: "utf-16be",
      evidence: "every second byte is zero",
    });
    expect(decode(wide("1;", false)).encoding).toBe("utf-16le");
    expect(decode(new Uint8Array([0x31, 0])).encoding).toBe("utf-8");
  });
  test("a heading in Cyrillic letters, of which every second byte is not zero, is seen as UTF-16 still", () => {
    const head = "размер мкм\tобъём пробы\n1\t20\n2\t80\n";
    const bytes = [...head].map((c) => [c.charCodeAt(0) & 255, c.charCodeAt(0) >> 8]);
    expect(decode(new Uint8Array(bytes.flat()))).toMatchObject({ text: head, encoding: "utf-16le" });
    expect(decode(new Uint8Array(bytes.flatMap((b) => b.toReversed())))).toMatchObject({
      text: head,
      encoding: "utf-16be",
    });
  });
  test("a zero byte that fills up the end of a file makes no UTF-16 of it", () => {
    for (const end of ["\0", "\0\0"])
      expect(decode(new TextEncoder().encode(`${text}${end}`)).text).toBe(`${text}${end}`);
  });
  test("a mark decides, an answer goes before it", () => {
    expect(decode(new Uint8Array([0xef, 0xbb, 0xbf, 0x31]))).toMatchObject({
      text: "1",
      encoding: "utf-8",
      evidence: "a byte-order mark",
    });
    // "aÿ": the third byte alone is no mark.
    expect(decode(new Uint8Array([0x61, 0xc3, 0xbf]))).toMatchObject({
      text: "aÿ",
      encoding: "utf-8",
      evidence: "the bytes are valid in it",
    });
    expect(decode(new Uint8Array([0xff, 0xfe, 0x31, 0]))).toMatchObject({
      text: "1",
      encoding: "utf-16le",
      evidence: "a byte-order mark",
    });
    expect(decode(new Uint8Array([0xfe, 0xff, 0, 0x31]))).toMatchObject({
      text: "1",
      encoding: "utf-16be",
      evidence: "a byte-order mark",
    });
    expect(decode(new Uint8Array([0xb5, 0x6d]), "windows-1252")).toMatchObject({
      text: "µm",
      evidence: "your word",
    });
    for (const bytes of [
      [0xef, 0xbb, 0x31],
      [0xff, 0x31],
      [0xfe, 0x31],
      [0x31, 0xfe],
    ])
      expect(decode(new Uint8Array(bytes))).toMatchObject({ encoding: "windows-1252" });
  });
  test("Windows-1252 has signs where Latin-1 has none (WHATWG Encoding, index windows-1252)", () => {
    const signs = new Map([
      [0x80, "€"],
      [0x85, "…"],
      [0x91, "‘"],
      [0x92, "’"],
      [0x93, "“"],
      [0x94, "”"],
      [0x96, "–"],
      [0x97, "—"],
      [0x9f, "Ÿ"],
      [0xb5, "µ"],
    ]);
    for (const [byte, sign] of signs) expect(decode(new Uint8Array([0x31, byte])).text).toBe(`1${sign}`);
  });
  test("signs that were saved twice", () => {
    expect(mended("ï»¿Âµm Î¼m")).toBe("µm µm");
    expect(mended("\ufeff1")).toBe("1");
  });
});

describe("words of a heading", () => {
  test("that speak of shares, and that do not", () => {
    for (const text of ["volume", "% under", "q3 1/um", "per ln size", "cum.", "count", "retained"])
      expect(saysShares(text), text).toBe(true);
    for (const text of ["size um", "aperture", "lot 7", "sample number", "paper"])
      expect(saysShares(text), text).toBe(false);
  });
  test("that speak of sizes", () => {
    for (const text of ["size", "aperture mm", "x um", "lower", "class"])
      expect(saysSize(text), text).toBe(true);
    for (const text of ["volume um", "lot", "share %"]) expect(saysSize(text), text).toBe(false);
  });
  test("after two hundred signs nothing is read", () => {
    expect(unitIn(`${"a ".repeat(98)} um`)).toBe("um");
    expect(unitIn(`${"a ".repeat(100)} um`)).toBeNull();
  });
});
