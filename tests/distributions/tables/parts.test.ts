import { describe, expect, test } from "vitest";
import { decode } from "#distributions/tables/decode.ts";
import { numberIn, readCells } from "#distributions/tables/delimited.ts";
import { edgesFrom } from "#distributions/tables/edges.ts";
import { figuresText } from "#distributions/tables/figuresText.ts";
import { findBlock, isSize } from "#distributions/tables/layout.ts";
import { readColumns } from "#distributions/tables/readColumns.ts";
import { umPerUnit } from "#distributions/tables/readingOptions.ts";
import { kindOf, scaleOf, sharesOfClasses, sharesOfUndersize } from "#distributions/tables/shares.ts";

// Every expected value in this file is worked by hand from the rule as stated in the source.
const cellsOf = (count: number, at: { row?: number; column?: number }) =>
  Array.from({ length: count }, (_, i) => ({
    text: String(i),
    row: at.row ?? i + 2,
    column: at.column ?? i + 2,
  }));

describe("numbers in cells", () => {
  test.each([
    ["1.5", ".", 1.5],
    ["1,5", ",", 1.5],
    ["1.234,5", ",", 1234.5],
    ["1.234.567", ",", 1234567],
    ["1.23", ",", null],
    ["−2", ".", -2],
    ["–2", ".", -2],
    ["1\u00a0234", ".", 1234],
    ["2e-3", ".", 0.002],
    [".5", ".", 0.5],
    ["5.", ".", 5],
    ["1,5", ".", null],
    ["1e999", ".", null],
    ["", ".", null],
    ["n.d.", ".", null],
  ] as const)("%j with %j is %j", (text, mark, value) => expect(numberIn(text, mark)).toBe(value));
  test("four figures, and a computer's dress only for the very large and small", () => {
    expect([0, 3.2468, 12345, 0.00001234, 1e7, 9.99e-6, -2.5, Number.NaN].map(figuresText)).toEqual([
      "0",
      "3.247",
      "12350",
      "0.00001234",
      "1.00e+7",
      "9.99e-6",
      "-2.5",
      "a number too large to hold",
    ]);
    expect(figuresText(9_999_000)).toBe("9999000");
    expect(figuresText(1e-5)).toBe("0.00001");
  });
  test("micrometres to a unit", () =>
    expect(umPerUnit).toEqual({ um: 1, nm: 0.001, mm: 1000, m: 1_000_000 }));
});

describe("bytes", () => {
  const bytes = (...list: number[]) => new Uint8Array(list);
  test.each([
    ["a UTF-8 mark", bytes(0xef, 0xbb, 0xbf, 0x31), "1", "UTF-8"],
    ["a little-endian mark", bytes(0xff, 0xfe, 0x31, 0), "1", "UTF-16 little-endian"],
    ["a big-endian mark", bytes(0xfe, 0xff, 0, 0x31), "1", "UTF-16 big-endian"],
    ["no mark, little-endian", bytes(0x31, 0, 0x32, 0), "12", "UTF-16 little-endian"],
    ["no mark, big-endian", bytes(0, 0x31, 0, 0x32), "12", "UTF-16 big-endian"],
    ["plain letters", bytes(0x31, 0x32, 0x33), "123", "UTF-8"],
    ["a byte that is no UTF-8", bytes(0xb5, 0x6d), "µm", "Windows-1252"],
    ["one letter and a zero", bytes(0x31, 0), "1\u0000", "UTF-8"],
    ["nothing", bytes(), "", "UTF-8"],
  ])("%s", (_, given, text, encoding) => expect(decode(given)).toEqual({ text, encoding }));
  test("fewer than 40 % of zeros in every second place are no UTF-16", () => {
    expect(decode(bytes(0x31, 0, 0x32, 0x33, 0x34, 0x35)).encoding).toBe("UTF-8");
    expect(decode(bytes(0x31, 0, 0x32, 0, 0x34, 0x35)).encoding).toBe("UTF-16 little-endian");
  });
});

describe("delimiter and decimal mark are found together", () => {
  test.each([
    ["1,2,3\n4,5,6\n", ",", "."],
    ["1,5;2,5\n3,5;4,5\n", ";", ","],
    ["1.5;2.5\n3.5;4.5\n", ";", "."],
    ["1,5\t2,5\n3,5\t4,5\n", "\t", ","],
    ["1|2\n3|4\n", "|", "."],
  ])("%j", (text, delimiter, decimalMark) =>
    expect(readCells(text)).toMatchObject({ delimiter, decimalMark }),
  );
  test("empty lines keep their place, and blanks around a cell go", () =>
    expect(readCells("a, b\n\n1, 2\n").cells.slice(0, 3)).toEqual([["a", "b"], [""], ["1", "2"]]));
});

describe("what values are, where no word says it", () => {
  test("per cent or fraction: fractions reach 1.005 at most", () => {
    expect(scaleOf([0.3, 0.705], "class")).toBe("fraction");
    expect(scaleOf([0.3, 0.706], "class")).toBe("percent");
    expect(scaleOf([0.5, 1.005], "undersize")).toBe("fraction");
    expect(scaleOf([0.5, 1.006], "undersize")).toBe("percent");
  });
  test.each([
    [[20, 60, 20], "class"],
    [[0.2, 0.6, 0.2], "class"],
    [[20, 59.4, 20], "class"],
    [[20, 60.6, 20], "class"],
    [[10, 50, 95], "undersize"],
    [[0.1, 0.5, 0.95], "undersize"],
    [[95, 50, 10], "oversize"],
    [[0.95, 0.5, 0.1], "oversize"],
    [[10, 50, 49.96, 95], "undersize"],
    [[10, 50, 49.94, 95], "class"],
    [[0.1, 0.5, 0.4996, 0.95], "undersize"],
    [[0.1, 0.5, 0.499, 0.95], "class"],
    [[95, 50, 50.04, 10], "oversize"],
    [[95, 50, 50.06, 10], "class"],
    [[10, 95], "class"],
    [[20, 30, 10], "class"],
  ] as const)("%j is read as %s", (values, kind) => expect(kindOf(values)).toBe(kind));
});

describe("shares class by class", () => {
  const cells = cellsOf(2, { column: 3 });
  const refused = (values: number[], at = cells) => {
    const found = sharesOfClasses(values, at);
    return "severity" in found ? found : null;
  };
  test("a sum from 99.4 to 100.6 % is divided out", () => {
    expect(refused([0.5, 0.494])).toBeNull();
    expect(refused([0.5, 0.506])).toBeNull();
    expect(refused([0.5, 0.4939])?.message).toBe(
      "The shares add to 99.39 %; 0.61 % of the whole is missing: look for classes that were left out, above or below.",
    );
    expect(refused([0.5, 0.5061])?.message).toMatch(/100\.6 %; that is 0\.61 % too much/);
    const found = sharesOfClasses([0.5, 0.49], cellsOf(2, {}));
    expect("severity" in found && found.found).toBe("a sum of 99 %");
  });
  test("a sum off by 0.05 % or less is not worth a word, but is divided out", () => {
    const quiet = sharesOfClasses([0.5, 0.4995], cells);
    const loud = sharesOfClasses([0.5, 0.4994], cells);
    if ("severity" in quiet || "severity" in loud) throw new Error("both are shares");
    expect(quiet.remarks).toEqual([]);
    expect(quiet.shares[0]).toBeCloseTo(0.5 / 0.9995, 14);
    expect(loud.remarks[0]).toMatchObject({
      found: "99.94 %",
      expected: "100 %",
      effect: "every share times 1.001",
    });
    const over = sharesOfClasses([0.5, 0.5006], cells);
    expect("remarks" in over && over.remarks.length).toBe(1);
  });
  test("the place of a bad sum is the column or the row that all its cells share", () => {
    expect(refused([0.5, 0.1])).toMatchObject({ column: 3, row: null });
    expect(refused([0.5, 0.1], cellsOf(2, { row: 4 }))).toMatchObject({ column: null, row: 4 });
  });
  test("a negative share is named by its cell, a zero is none", () => {
    expect(refused([1.1, -0.1])).toMatchObject({ row: 3, column: 3, found: "1" });
    expect(refused([1, 0])).toBeNull();
  });
});

describe("shares from undersize values", () => {
  const cells = cellsOf(4, { column: 2 });
  const shares = (values: number[]) => {
    const found = sharesOfUndersize(values, cells);
    if ("severity" in found) throw new Error(found.message);
    return found;
  };
  test("differences, with what lies below and above", () => {
    const found = shares([0.1, 0.4, 0.8, 0.95]);
    for (const [i, v] of [0.3, 0.4, 0.15].entries()) expect(found.shares[i]).toBeCloseTo(v, 14);
    expect(found.belowShare).toBe(0.1);
    expect(found.aboveShare).toBeCloseTo(0.05, 14);
    expect(found.remarks).toEqual([]);
  });
  test("a fall of 0.05 points in 100 is levelled, told with its size", () => {
    const found = shares([0.1, 0.5, 0.4995, 1]);
    expect(found.shares[1]).toBe(0);
    expect(found.remarks[0]).toMatchObject({
      message: "The undersize falls by 0.05 points at row 4 (rounding) and was levelled.",
      found: "0.4995",
      expected: "0.5",
      effect: "0.05 points",
      row: 4,
      column: 2,
    });
    expect(sharesOfUndersize([0.1, 0.5, 0.49, 1], cells)).toMatchObject({
      severity: "refused",
      message: expect.stringContaining("falls by 1 points at row 4"),
      found: "49 % after 50 %",
      expected: "at least 50 %",
      row: 4,
    });
  });
  test("a reach a little over the whole is the whole", () => {
    expect(shares([0, 0.5, 1, 1.0005]).aboveShare).toBe(0);
    expect(sharesOfUndersize([0, 0.5, 1, 1.0006], cells)).toMatchObject({
      severity: "refused",
      found: "100.1 %",
      row: 5,
    });
    expect(sharesOfUndersize([-0.1, 0.5, 1, 1], cells)).toMatchObject({ severity: "refused", row: 2 });
    expect(shares([0, 0, 0.5, 1]).belowShare).toBe(0);
  });
});

describe("edges from one size a class", () => {
  const edges = (...of: Parameters<typeof edgesFrom>) => {
    const found = edgesFrom(...of);
    if ("why" in found) throw new Error(found.why);
    return found;
  };
  test("upper edges: the first class begins one step of the same ratio below", () => {
    const found = edges([2, 6, 18], "upper", undefined);
    expect(found.lowerUm[0]).toBeCloseTo(4 / 6, 14);
    expect(found.lowerUm.slice(1)).toEqual([2, 6]);
    expect(found.upperUm).toEqual([2, 6, 18]);
    expect(found.supposed[0]).toMatch(/0\.6667 µm is taken/);
    expect(edges([2, 6, 18], "upper", 1).lowerUm).toEqual([1, 2, 6]);
    expect(edges([2, 6, 18], "upper", 1).supposed).toEqual([]);
  });
  test("lower edges: the last class ends one step above", () => {
    const found = edges([2, 6, 18], "lower", undefined);
    expect(found.upperUm).toEqual([6, 18, 54]);
    expect(found.supposed[0]).toMatch(/54 µm is taken/);
  });
  test("geometric mids stand at √(ab), arithmetic ones at (a + b)/2", () => {
    const geometric = edges([Math.SQRT2, 2 * Math.SQRT2, 4 * Math.SQRT2], "geometric-mid", undefined);
    const arithmetic = edges([1.5, 3, 6], "arithmetic-mid", undefined);
    for (const found of [geometric, arithmetic]) {
      for (const [i, v] of [1, 2, 4].entries()) expect(found.lowerUm[i]).toBeCloseTo(v, 12);
      for (const [i, v] of [2, 4, 8].entries()) expect(found.upperUm[i]).toBeCloseTo(v, 12);
    }
    expect(geometric.supposed[0]).toMatch(/step by 2\.0000/);
  });
  test("a step of 1 % off the constant ratio is borne, more is not", () => {
    expect("why" in edgesFrom([1, 2.015, 4], "geometric-mid", undefined)).toBe(false);
    expect("why" in edgesFrom([1, 2.03, 4], "geometric-mid", undefined)).toBe(true);
    expect("why" in edgesFrom([1, 1.97, 4], "arithmetic-mid", undefined)).toBe(true);
  });
});

describe("finding the table", () => {
  const block = (text: string) => findBlock(readCells(text).cells, ".", undefined);
  test("sizes may stand behind < and >", () => {
    expect(isSize("<5", ".")).toBe(true);
    expect(isSize("≥ 5", ".")).toBe(true);
    expect(isSize("five", ".")).toBe(false);
  });
  test("measurements in rows keep the places of their cells", () => {
    const found = block("notes here\nsample,remark,1,2,4,8\nA,good,10,20,30,40\nB,bad,5,15,35,45\n");
    expect(found?.layout).toBe("rows");
    expect(found?.sizes).toEqual([[1, 2, 4, 8].map((v, i) => ({ text: String(v), row: 2, column: i + 3 }))]);
    expect(found?.sizeHeading).toBe("sample remark");
    expect(found?.series.map((s) => [s.heading, s.at.row])).toEqual([
      ["A", 3],
      ["B", 4],
    ]);
    expect(found?.series[0]?.cells[1]).toEqual({ text: "20", row: 3, column: 4 });
    expect(found?.notes).toEqual(["notes here"]);
  });
  test("ranges across the top are lower and upper edges", () => {
    const found = block("sample,1-2,2-4\nA,40,60\n");
    expect(found?.layout).toBe("rows");
    expect(found?.sizes.map((list) => list.map((c) => c.text))).toEqual([
      ["1", "2"],
      ["2", "4"],
    ]);
    expect(found?.sizes[1]?.[1]).toMatchObject({ row: 1, column: 3 });
  });
  test("a row of values counts where at least half of its cells are numbers", () => {
    const found = block("sample,1,2,4,8\nA,10,20,,\nB,10,,,\nC,10,20,30,40\n");
    expect(found?.series.map((s) => s.heading)).toEqual(["A", "C"]);
  });
  test("numbers across the top that do not run one way are no sizes", () => {
    expect(block("sample,3,1,2\n1,10,20,30\n2,40,50,60\n")?.layout).toBe("columns");
    expect(block("sample,8,4,2,1\nA,10,20,30,40\n")?.layout).toBe("rows");
  });
  test("sizes in a column with preamble, heading and a total below", () => {
    const found = block("shares by volume\nsize,run 1,run 2\n1,10,20\n2,50,40\n4,40,40\nTotal,100,100\n");
    expect(found?.layout).toBe("columns");
    expect(found?.sizes).toEqual([[1, 2, 4].map((v, i) => ({ text: String(v), row: i + 3, column: 1 }))]);
    expect(found?.series.map((s) => [s.heading, s.at.column])).toEqual([
      ["run 1", 2],
      ["run 2", 3],
    ]);
    expect(found?.series[1]?.cells[2]).toEqual({ text: "40", row: 5, column: 3 });
    expect(found?.notes).toEqual(["shares by volume", "Total 100 100"]);
  });
  test("one word above the numbers is a note, two are a heading", () => {
    expect(block("volume\n1,20\n2,60\n4,20\n")).toMatchObject({ sizeHeading: "", notes: ["volume"] });
    expect(block("size,volume\n1,20\n2,60\n4,20\n")).toMatchObject({ sizeHeading: "size", notes: [] });
  });
  test("two columns are lower and upper edges where four in five rows meet", () => {
    const table = (second: number[]) =>
      block(`a,b,c\n${second.map((u, i) => `${2 ** i},${u},10`).join("\n")}\n`)?.sizes.length;
    expect(table([2, 4, 8, 16, 32, 64])).toBe(2);
    expect(table([2, 4, 8, 16, 33, 64])).toBe(2);
    expect(table([2, 4, 9, 16, 33, 64])).toBe(1);
    expect(table([2.02, 4.04, 8.08, 16.16, 32.32, 64])).toBe(2);
    expect(table([2.03, 4.06, 8.12, 16.24, 32.5, 64])).toBe(1);
    expect(table([2, 4])).toBe(1);
    expect(table([2, 4, 8])).toBe(2);
    // An upper edge below its lower one is none.
    expect(table([2, 4, 8, 16, 32, 31])).toBe(1);
  });
  test("ranges in the first column, and a size that cannot be read within the table", () => {
    const ranges = block("size,volume\n1-2,20\n2-4,80\n");
    expect(ranges?.sizes.map((list) => list.map((c) => c.text))).toEqual([
      ["1", "2"],
      ["2", "4"],
    ]);
    const broken = block("size,volume\n1,20\nx,60\n4,20\n");
    expect(broken?.sizes[0]?.map((c) => c.text)).toEqual(["1", "x", "4"]);
  });
  test("a column of words is no measurement, unless there is nothing else", () => {
    expect(block("size,volume,remark\n1,20,fine\n2,80,coarse\n")?.series.map((s) => s.heading)).toEqual([
      "volume",
    ]);
  });
});

describe("tables with named columns", () => {
  const names = { words: ["stage"], required: ["value"], optional: ["more"] };
  test("rows with their places; empty lines do not count as rows but keep their numbers", () => {
    const { rows, problems } = readColumns("\nSTAGE,value,more\nfired,2,\n\nmilled,3,4\n", null, names);
    expect(problems).toEqual([]);
    expect(rows).toEqual([
      { row: 3, text: { stage: "fired" }, number: { value: 2, more: null } },
      { row: 5, text: { stage: "milled" }, number: { value: 3, more: 4 } },
    ]);
  });
  test.each([
    ["fired,,1", 2, "an empty cell"],
    ["fired,0,1", 2, "0"],
    ["fired,-2,1", 2, "-2"],
    ["fired,2,x", 3, "x"],
    ["fired,2,0", 3, "0"],
  ])("%s is left out and named", (line, column, found) => {
    const { rows, problems } = readColumns(`stage,value,more\n${line}\nmilled,3,4\n`, "t.csv", names);
    expect(rows.map((r) => r.row)).toEqual([3]);
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({ file: "t.csv", row: 2, column, found });
  });
  test("a missing column is named with where it was looked for; an optional one may miss", () => {
    const { rows, problems } = readColumns("stage,more\nfired,2\n", null, names);
    expect(rows).toEqual([]);
    expect(problems[0]).toMatchObject({ row: 1, found: "stage, more", expected: "value" });
    expect(readColumns("stage,value\nfired,2\n", null, names).rows[0]?.number).toEqual({
      value: 2,
      more: null,
    });
    expect(readColumns("", null, names).problems[0]).toMatchObject({ row: null, found: "an empty table" });
  });
});
