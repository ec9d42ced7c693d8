import { describe, expect, test } from "vitest";
import { readTable } from "#distributions/tables/readTable.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";

// Every place and number in this file is counted or worked by hand.
const read = (text: string, options: ReadingOptions = {}) => readTable(text, "folder/lot.v2.csv", options);
const how = (text: string, options: ReadingOptions = {}) =>
  Object.fromEntries(read(text, options).how.map((g) => [g.option, `${g.value}, ${g.source}`]));
const notes = (text: string, options: ReadingOptions = {}) => {
  const { measurements, problems } = read(text, options);
  expect(measurements.length).toBeGreaterThan(0);
  return problems;
};

describe("where a fault is", () => {
  test("no table: the first line that holds a word", () => {
    expect(read("\nthe quick brown fox\njumps\n").problems[0]).toMatchObject({
      row: 2,
      column: 1,
      found: "the quick brown fox",
    });
  });
  test("sizes out of order, or twice: the second of the two", () => {
    expect(read("upper um,volume %\n1,20\n4,60\n2,20\n").problems[0]).toMatchObject({
      row: 4,
      column: 1,
      found: "2",
      message: expect.stringContaining("2 µm comes after 4 µm"),
    });
    expect(read("upper um,volume %\n1,20\n4,60\n4,20\n").problems[0]?.message).toMatch(/4 µm stands twice/);
    // Only beside an open class may its size stand again.
    for (const text of ["<1,5\n1,15\n2,30\n2,30\n4,20", "1,5\n1,15\n2,30\n4,30\n>4,20"])
      expect(read(`size um,volume %\n${text}\n`).problems[0]?.message).toMatch(/stands twice/);
  });
  test("sizes across stand in their own row", () => {
    expect(read("um,1,2,4000000\nlot A volume %,20,60,20\n").problems[0]).toMatchObject({
      row: 1,
      column: 4,
    });
    expect(read("class,1-2,4-8,2-4\nlot A volume %,20,60,20\n").problems[0]).toMatchObject({
      row: 1,
      column: 4,
    });
  });
  test("beside a size that closes a class, a share keeps its row", () => {
    for (const [text, row] of [
      ["1,20\n2,-10\n4,90\n8,", 3],
      ["0.5,\n1,20\n2,-10\n4,90", 4],
    ] as const)
      expect(read(`size um,volume %\n${text}\n`).problems[0]).toMatchObject({ row, column: 2 });
    // One that the sizes do not run on from is not passed over.
    expect(read("size um,volume %\n1,\n8,20\n4,60\n2,20\n").problems[0]?.message).toMatch(/out of order/);
  });
  test("one class alone: its value, or the first size where the open ends leave no class", () => {
    const message = "One class alone makes no distribution. Bring in the whole table.";
    expect(read("upper um,volume %\n1,20\n").problems[0]).toMatchObject({ row: 2, column: 2, message });
    expect(read("sieve um,retained mass %\n100,20\n0,80\n").problems[0]).toMatchObject({
      row: 2,
      column: 1,
      message,
    });
  });
  test.each([
    ["-2,20", "is negative", "-2"],
    ["2e6,20", "is larger than a metre", "2e6"],
    ["x,20", "is no size", "x"],
  ])("a size of %s", (line, why, found) => {
    const problem = read(`upper um,volume %\n1,20\n${line}\n4,60\n`).problems.find(
      (p) => p.severity === "refused",
    );
    expect(problem).toMatchObject({ row: 3, column: 1, found });
    expect(problem?.message).toContain(why);
  });
  test("a metre is a size still", () => {
    expect(read("upper um,volume %\n1,20\n1e6,80\n").measurements).toHaveLength(1);
  });
  test("an edge that does not meet: the row of the class it opens, falling tables too", () => {
    const rising = read("lower_um,upper_um,volume %\n1,2,50\n3,4,30\n4,5,20\n").problems;
    expect(rising.find((p) => p.severity === "refused")).toMatchObject({ row: 3, found: "3" });
    const falling = read("lower_um,upper_um,volume %\n4,5,20\n3,4,30\n1,2,50\n").problems;
    expect(falling.find((p) => p.severity === "refused")).toMatchObject({ row: 3, found: "3" });
  });
  test("an empty cell among the shares", () => {
    const empty = read("lower_um,upper_um,volume %,b vol %\n1,2,,50\n2,4,50,50\n").problems.find(
      (p) => p.severity === "refused",
    );
    expect(empty).toMatchObject({ row: 2, column: 3, found: "an empty cell" });
  });
});

describe("what had to be decided is said", () => {
  const plain = "lower_um,upper_um,volume %\n1,2,20\n2,4,80\n";
  test("by the table", () => {
    expect(how(plain)).toMatchObject({
      layout: "columns, table",
      unit: "um, table",
      values: "class, table",
      scale: "percent, table",
      edge: "both, table",
      quantity: "volume, table",
      delimiter: "comma, table",
    });
    expect(how("sample,1-2,2-4\nA,20,80\n", { quantity: "volume" })["layout"]).toBe("rows, table");
    expect(how("lower_um\tupper_um\tvolume %\n1\t2\t20\n2\t4\t80\n")["delimiter"]).toBe("tab, table");
  });
  test("by the user", () => {
    const options = {
      layout: "columns",
      unit: "nm",
      quantity: "number",
      scale: "percent",
      values: "class",
    } as const;
    expect(how(plain, options)).toMatchObject({
      layout: "columns, option",
      unit: "nm, option",
      quantity: "number, option",
      scale: "percent, option",
      values: "class, option",
    });
  });
  test("by assumption, with a note each", () => {
    const bare = "lower,upper,volume\n1,2,20\n2,4,80\n";
    expect(how(bare)).toMatchObject({ unit: "um, assumed", scale: "percent, assumed" });
    const said = notes(bare).map((p) => p.message);
    expect(said[0]).toMatch(/^No unit is stated/);
    expect(said[1]).toMatch(/read as per cent, since the values add to about 100\.$/);
    expect(notes("lower um,upper um,volume\n1,2,0.2\n2,4,0.8\n")[0]?.message).toMatch(
      /read as fractions, since the values add to about 1\.$/,
    );
    const rising = notes("size um,volume\n1,10\n2,50\n4,95\n", { edge: "upper" }).map((p) => p.message);
    expect(rising).toContain("The values only rise with size: read as undersize.");
    expect(rising.some((text) => /read as per cent, since the values reach( about)? 95\.$/.test(text))).toBe(
      true,
    );
    expect(notes("size um,volume\n1,95\n2,50\n4,10\n").find((p) => /only fall/.test(p.message))?.effect).toBe(
      "undersize = whole − value",
    );
    expect(how("size um,volume %\n1,10\n2,50\n4,95\n")["edge"]).toBeUndefined();
  });
  test("no reason to speak, no note", () => {
    expect(notes(plain)).toEqual([]);
    expect(notes("lower um,upper um,volume in class %\n1,2,20\n2,4,80\n")).toEqual([]);
  });
});

describe("open ends", () => {
  test("a class from zero is the share below, with its size in the note", () => {
    const [note, ...more] = notes("lower_um,upper_um,volume %\n0,1.5,10\n1.5,2,50\n2,4,40\n");
    expect(more).toEqual([]);
    expect(note?.message).toBe(
      "The finest class starts at zero: its 10 % is kept as the share below 1.5 µm, whose sizes are not known.",
    );
    expect(notes("lower_um,upper_um,volume %\n0,1.5,0\n1.5,2,60\n2,4,40\n")).toEqual([]);
  });
  test("a class without an upper edge is the share above", () => {
    const m = read("lower_um,upper_um,volume %\n1,2,50\n2,4,40\n4,,10\n").measurements[0]?.distribution;
    expect(m?.aboveShare).toBeCloseTo(0.1, 14);
    expect(m?.upperUm).toEqual([2, 4]);
    expect(m?.shares[1]).toBeCloseTo(0.4, 14);
  });
  test("a first edge closes what lies below; one above the finest edge does not", () => {
    const text = "size um,volume undersize %\n1,10\n2,50\n4,100\n";
    const closed = read(text, { firstEdgeUm: 0.5 });
    expect(closed.measurements[0]?.distribution.lowerUm).toEqual([0.5, 1, 2]);
    expect(closed.measurements[0]?.distribution.belowShare).toBe(0);
    expect(closed.problems.at(-1)?.message).toBe(
      "The share below is taken as a class from 0.5 to 1 µm, as asked.",
    );
    for (const firstEdgeUm of [1, 1.2]) {
      const m = read(text, { firstEdgeUm }).measurements[0]?.distribution;
      expect(m?.lowerUm).toEqual([1, 2]);
      expect(m?.belowShare).toBeCloseTo(0.1, 14);
    }
  });
  test("the in-class rule asked for is kept, an unknown share above too", () => {
    const m = read("size um,volume undersize %\n1,10\n2,50\n4,90\n", { inClass: "uniform" }).measurements[0];
    expect(m?.distribution.inClass).toBe("uniform");
    expect(m?.distribution.aboveShare).toBeCloseTo(0.1, 14);
  });
});

describe("questions", () => {
  test("mids that do not step evenly: their row, and the median with either edge", () => {
    const { problems } = read("geometric mid um,volume %\n1,20\n2,60\n7,20\n");
    const question = problems.find((p) => p.severity === "question");
    expect(question?.message).toMatch(/^Row 2: the mid sizes do not step by a constant ratio/);
    // As lower edges the middle 60 % lie from 2 to 7: half of them below √14. As upper ones, from 1 to 2.
    expect(question?.choices?.map((c) => [c.value, c.d50Um])).toEqual([
      ["lower", expect.closeTo(Math.sqrt(14), 10)],
      ["upper", expect.closeTo(Math.SQRT2, 10)],
    ]);
  });
  test("what the shares count: the median by volume under each answer", () => {
    const { problems } = read("lower_um,upper_um,share %\n1,2,50\n2,4,50\n");
    const question = problems.find((p) => p.severity === "question");
    expect(question).toMatchObject({ found: "lower_um upper_um", measurement: "share %" });
    const d50 = Object.fromEntries((question?.choices ?? []).map((c) => [c.value, c.d50Um]));
    expect(d50["volume"]).toBe(2);
    // By number, the volume of a class an octave up is eight times as large: 1/9 below 2 µm, and x³ within it:
    // (x³ − 8)/(64 − 8) = (1/2 − 1/9)/(8/9).
    expect(d50["number"]).toBeCloseTo((8 + (56 * (0.5 - 1 / 9)) / (8 / 9)) ** (1 / 3), 8);
  });
  test("without a heading the question says so", () => {
    const { problems } = read("1,20\n2,60\n4,20\n");
    expect(problems.filter((p) => p.severity === "question").map((p) => p.found)).toEqual([
      "no heading",
      "no heading",
    ]);
  });
  test("both edges asked of one column are refused", () => {
    expect(
      read("size um,volume %\n1,20\n2,60\n4,20\n", { edge: "both" }).problems.find(
        (p) => p.severity === "refused",
      )?.expected,
    ).toBe("two columns of sizes");
  });
});

describe("names and means", () => {
  test("the file's stem without its folder", () => {
    expect(read("1,2,20\n2,4,60\n4,8,20\n", { quantity: "volume" }).measurements[0]?.name).toBe("lot.v2");
    expect(readTable("1,2,20\n2,4,60\n4,8,20\n", null, { quantity: "volume" }).measurements[0]?.name).toBe(
      "pasted table",
    );
  });
  test("a column called mean goes only if it is the mean of two others or more", () => {
    const names = (text: string) => read(text, { quantity: "volume" }).measurements.map((m) => m.name);
    expect(names("lower_um,upper_um,a,b,mean\n1,2,20,40,30\n2,4,80,60,70\n")).toEqual(["a", "b"]);
    // Off by 0.17 where the mean is 30: 0.006 of it, 0.18, is rounding.
    expect(names("lower_um,upper_um,a,b,mean\n1,2,20,40,30.17\n2,4,80,60,69.83\n")).toEqual(["a", "b"]);
    expect(names("lower_um,upper_um,a,b,mean\n1,2,20,40,30.2\n2,4,80,60,69.8\n")).toEqual(["a", "b", "mean"]);
    expect(names("lower_um,upper_um,a,mean\n1,2,30,30\n2,4,70,70\n")).toEqual(["a", "mean"]);
    const { problems } = read("lower_um,upper_um,a,b,mean\n1,2,20,40,30\n2,4,80,60,70\n", {
      quantity: "volume",
    });
    expect(problems.find((p) => /equals the average of 2 others/.test(p.message))).toMatchObject({
      column: 5,
      row: null,
    });
  });
});
