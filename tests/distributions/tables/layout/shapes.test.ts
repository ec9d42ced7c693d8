import { describe, expect, test } from "vitest";
import { type Block, isMonotone, plausibility } from "#distributions/tables/layout/block.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { readCells } from "#distributions/tables/text/delimiterAndDecimalMark.ts";
import { Parsed } from "#distributions/tables/text/parsed.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import { sheetsIn } from "#distributions/tables/workbook/sheets.ts";

// Every expectation is what a person sees in the text.
const read = (text: string, options: ReadingOptions = {}) =>
  readTable(text, "lot.csv", { quantity: "volume", ...options });
const lots = (text: string, options: ReadingOptions = {}) =>
  read(text, options).measurements.map(({ name, distribution: d }) => [
    name,
    d.lowerUm.join(" "),
    d.shares.map((s) => Math.round(1e6 * s) / 1e4).join(" "),
  ]);
const first = (text: string, options: ReadingOptions = {}) =>
  read(text, options).problems.find((p) => p.severity === "refused");

describe("sizes across the top", () => {
  const rows: ReadingOptions = { layout: "rows", edge: "lower" };
  test("a row of rising numbers under words or numbers of its own is data, no heading", () => {
    expect(lots("lot,fine,middle,coarse\nA,1,2,4\nB,20,60,20\n", rows)).toEqual([]);
    expect(lots("x,9,3,5\ny,1,2,4\nz,20,60,20\n", rows)).toEqual([]);
    // A remark over one column, or a name over the first, makes no data of it.
    expect(lots("measured,,,\nlot,1,2,4\nA,20,60,20\n", rows)).toEqual([["A", "1 2 4", "20 60 20"]]);
    expect(lots("lot 7,wet,,,,\nlot,1,2,4,8,16\nA,20,30,20,20,10\n", rows)[0]?.[0]).toBe("A");
  });
  test("without a word before them they stand first; one cell may stand above, two not", () => {
    const across = "1,2,4\n30,40,30\n20,60,20\n";
    for (const above of ["", "made by hand\n"])
      expect(
        lots(above + across, rows).map(([, , shares]) => shares),
        above,
      ).toEqual(["30 40 30", "20 60 20"]);
    expect(lots(`operator,one\n\n${across}`, rows)).toEqual([]);
    // Here the first column runs as sizes down.
    expect(lots("1,2,4\n20,60,20\n30,40,30\n", rows)).toEqual([]);
  });
});

describe("sizes down a column", () => {
  test("1, 2 and 3 under a name are sizes, whatever rises beside them", () => {
    expect(lots("x,lot,check\n1,20,10\n2,60,20\n3,20,70\n", { edge: "lower" })[0]).toEqual([
      "lot",
      "1 2 3",
      "20 60 20",
    ]);
  });
  test("a row whose size cannot be read but whose share can is a fault, not the table's end", () => {
    const text = "size um,lot,remark\n1,20,fine\n2,30,\nx,30,coarse\n8,20,\n";
    expect(first(text, { edge: "lower" })).toMatchObject({ row: 4, column: 1, found: "x" });
  });
});

test("three sizes a sample are the fewest that make its name a label", () => {
  // The names come and go, so that only what stands in a row tells whose it is.
  const long = (samples: Readonly<Record<string, readonly number[]>>) => {
    const turns = [0, 1, 2].flatMap((i) =>
      Object.entries(samples).map(([n, s]) => [n, 2 ** i, s[i]] as const),
    );
    const lines = turns.flatMap(([n, size, share]) => (share === undefined ? [] : [`${n},${size},${share}`]));
    return lots(`sample,size um,share\n${lines.join("\n")}\n`, { edge: "lower" });
  };
  expect(long({ A: [20, 60, 20], B: [10, 70, 20] })).toEqual([
    ["A", "1 2 4", "20 60 20"],
    ["B", "1 2 4", "10 70 20"],
  ]);
  expect(long({ A: [20, 80], B: [10, 90] })).toEqual([]);
});

test("percentiles without a lot's name have none", () => {
  expect(read("D10 um,D50 um,D90 um\n1,2,4\n").problems[0]).toMatchObject({
    measurement: null,
    row: 2,
    column: 1,
    found: "D10 1, D50 2, D90 4",
  });
});

test("commas inside numbers are seen under a heading of two rows too", () => {
  expect(first("size,share\num,%\n1,0,20,5\n2,0,60,5\n4,0,19,0\n")).toMatchObject({
    row: 3,
    found: "4 cells",
    expected: "2 cells",
  });
});

test("a density that gives no whole is placed by its column, or by its row where it stands in one", () => {
  expect(first("lower um,upper um,per ln\n1,2,0.2\n2,4,0.3\n", { values: "density-ln" })).toMatchObject({
    row: null,
    column: 3,
    expected: "1 or 100 within 2 %",
  });
  expect(first("lot,1-2,2-4\nA,0.2,0.3\n", { values: "density-ln" })).toMatchObject({ row: 2, column: null });
});

test("a heading that begins as the line of a sheet does, with cells beside it, is no sheet", () => {
  const line = "sheet of the workbook: lab";
  expect(sheetsIn([[line, ""], ["1"]])).toEqual([{ sheet: "lab", cells: [["1"]] }]);
  expect(sheetsIn([[line, "lot"], ["1"]])).toEqual([{ sheet: null, cells: [[line, "lot"], ["1"]] }]);
});

test("blanks part the words of a heading where one row of numbers shows how many cells there are", () => {
  const heading = (text: string) => readCells(text, { delimiter: " " }).cells[0];
  expect(heading("size share\n1 20")).toEqual(["size", "share"]);
  expect(heading("size share\n7\n8\n9\n1 20\n2 80")).toEqual(["size", "share"]);
});

describe("numbers that could be sizes or shares", () => {
  test("only rise, or only fall, step by step", () => {
    for (const values of [
      [1, 2],
      [1, 2, 4],
      [4, 2, 1],
    ])
      expect(isMonotone(values), `${values}`).toBe(true);
    for (const values of [[], [1], [2, 2], [1, 2, 2], [2, 2, 1], [1, 2, 1], [1, Number.NaN, 3]])
      expect(isMonotone(values), `${values}`).toBe(false);
  });
  const block = (sizes: readonly number[], ...series: readonly (readonly number[])[]): Block => {
    const cells = (values: readonly number[]) =>
      values.map((v, i) => ({ text: String(v), row: i + 1, column: 1 }));
    return {
      layout: "columns",
      sizes: [cells(sizes)],
      sizeHeading: "",
      series: series.map((s) => ({ heading: "", says: "", at: { row: null, column: 1 }, cells: cells(s) })),
      notes: [],
      remarks: [],
    };
  };
  const of = (...series: readonly (readonly number[])[]) =>
    plausibility(block([1, 2, 4, 8], ...series), new Parsed("."));
  test("sizes in order count one, and series that are a whole or run as a curve another", () => {
    expect(plausibility(block([1, 4, 2, 8]), new Parsed("."))).toBe(0);
    expect(of()).toBe(1);
    for (const whole of [
      [10, 40, 40, 10],
      [0.1, 0.4, 0.4, 0.1],
      [10, 40, 40, 11.4],
      [10, 40, 40, 8.6],
    ])
      expect(of(whole), `${whole}`).toBe(2);
    for (const curve of [
      [0, 30, 60, 100],
      [100, 60, 30, 0],
      [0, 0.3, 0.3, 1],
      [0.1, 0.2, 0.3, 0.6],
      [5, 20, 50, 60],
    ])
      expect(of(curve), `${curve}`).toBe(2);
  });
  test("what is neither counts two fifths, what goes below zero nothing", () => {
    for (const neither of [
      [0, 70, 40, 100],
      [10, 40, 40, 13],
      [0, 30, 60, 101],
      [5, 20, 50, 59],
      [0.1, 0.2, 0.3, 0.59],
      [100, 30, 60, 0],
    ])
      expect(of(neither), `${neither}`).toBe(1.4);
    expect(of([-1, 40, 40, 10])).toBe(1);
    expect(of([-50, 100, 40, 10])).toBe(1);
    expect(of([10, 40, 40, 10], [-1, 40, 40, 10])).toBe(1.5);
  });
});

test("one sample in long form is a plain column until long is asked for; then it bears its sample's name", () => {
  const text = "lot,size um,share %\nA,1,20\nA,2,50\nA,4,30\n";
  expect(lots(text, { edge: "upper" }).map(([name]) => name)).toEqual(["share %"]);
  expect(lots(text, { edge: "upper", layout: "long" })).toEqual([["A", "0.5 1 2", "20 50 30"]]);
});

test("a cumulative column that stands still and then rises has its one class, and is not refused as level", () => {
  const text = "size um,undersize volume %\n1,5\n2,5\n4,5\n8,100\n";
  expect(lots(text)).toEqual([["undersize volume %", "1 2 4", "0 0 95"]]);
  expect(first(text.replace("100", "5"))?.message).toMatch(/stays at 5 %/);
});

test("a remark above the headings is no part of a run's name", () => {
  const text = "Lot A of May,,\nlower um,upper um,volume %\n1,2,20\n2,4,50\n4,8,30\n";
  expect(lots(text).map(([name]) => name)).toEqual(["volume %"]);
});

test("a density whose first value is negative is refused there, also where all of it adds to one", () => {
  const text = "lower um,upper um,volume density per um\n1,2,-0.01\n2,4,0.25\n4,8,0.1275\n";
  expect(lots(text)).toEqual([]);
  expect(first(text)).toMatchObject({ row: 2, column: 3 });
});

test("lots in rows under headings of their own keep their own sizes", () => {
  const rows: ReadingOptions = { edge: "lower" };
  const plain = "lot,1,2,4\nA,20,60,20\nlot,2,4,8\nB,10,60,30\n";
  const both = [
    ["A", "1 2 4", "20 60 20"],
    ["B", "2 4 8", "10 60 30"],
  ];
  expect(lots(plain, rows)).toEqual(both);
  expect(lots(plain.replace("lot,2", "\nsecond table\nlot,2"), rows)).toEqual(both);
  const ranges = "lot,1-2,2-4,4-8\nA,20,60,20\nlot,2-4,4-8,8-16\nB,10,60,30\n";
  expect(lots(ranges)).toEqual(both);
  // The same heading again over the same sizes, as a page break repeats it.
  expect(lots(plain.replace("lot,2,4,8", "lot,1,2,4"), rows)).toEqual([
    ["A", "1 2 4", "20 60 20"],
    ["B", "1 2 4", "10 60 30"],
  ]);
});
