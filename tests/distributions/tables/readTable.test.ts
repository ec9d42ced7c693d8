import { describe, expect, test } from "vitest";
import { curveOf, sizeAt } from "#distributions/curve.ts";
import { readRows, readTable } from "#distributions/tables/readTable.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";

const read = (text: string, options: ReadingOptions = {}) => readTable(text, "lot.csv", options);
const d50 = (text: string, options: ReadingOptions = {}) => {
  const [one] = read(text, options).measurements;
  return one === undefined ? null : sizeAt(curveOf(one.distribution), 0.5);
};
const refusedFor = (text: string, options: ReadingOptions = {}) => {
  const { measurements, problems } = read(text, options);
  expect(measurements).toEqual([]);
  const refused = problems.filter((p) => p.severity === "refused");
  expect(refused.length).toBeGreaterThan(0);
  return refused[0];
};

describe("tables in each shape of words, marks and units read as the same curve", () => {
  const same: [string, string, ReadingOptions][] = [
    ["lower and upper edges", "lower_um,upper_um,volume %\n1,2,20\n2,4,60\n4,8,20\n", {}],
    ["upper edges", "upper um,volume %\n2,20\n4,60\n8,20\n", { firstEdgeUm: 1 }],
    ["lower edges", "lower um,volume %\n1,20\n2,60\n4,20\n", {}],
    ["geometric mids", "geometric mid um,volume %\n1.41421356,20\n2.82842712,60\n5.65685425,20\n", {}],
    ["arithmetic mids", "arithmetic mid um,volume %\n1.5,20\n3,60\n6,20\n", {}],
    ["undersize", "size um,volume undersize %\n1,0\n2,20\n4,80\n8,100\n", {}],
    ["oversize", "size um,volume oversize %\n1,100\n2,80\n4,20\n8,0\n", {}],
    ["oversize without the word", "size um,volume %\n1,100\n2,80\n4,20\n8,0\n", {}],
    ["fractions", "lower_um,upper_um,volume fraction\n1,2,0.2\n2,4,0.6\n4,8,0.2\n", {}],
    [
      "decimal comma and semicolon",
      "lower_um;upper_um;volume %\n1,0;2,0;20,0\n2,0;4,0;60,0\n4,0;8,0;20,0\n",
      {},
    ],
    [
      "tab and decimal comma",
      "lower_um\tupper_um\tvolume %\n1,0\t2,0\t20,0\n2,0\t4,0\t60,0\n4,0\t8,0\t20,0\n",
      {},
    ],
    ["nanometres", "lower nm,upper nm,volume %\n1000,2000,20\n2000,4000,60\n4000,8000,20\n", {}],
    ["millimetres", "lower mm,upper mm,volume %\n0.001,0.002,20\n0.002,0.004,60\n0.004,0.008,20\n", {}],
    ["falling sizes", "lower_um,upper_um,volume %\n4,8,20\n2,4,60\n1,2,20\n", {}],
    ["measurements in rows with ranges", "sample,1-2,2-4,4-8\nA,20,60,20\n", { quantity: "volume" }],
    [
      "measurements in rows with upper edges",
      "sample,2,4,8\nA,20,60,20\n",
      { quantity: "volume", edge: "upper", firstEdgeUm: 1 },
    ],
    [
      "a preamble and a total",
      "shares by volume in %\noperator: one\nlower_um,upper_um,run\n1,2,20\n2,4,60\n4,8,20\nTotal,,100\n",
      {},
    ],
  ];
  test.each(same)("%s", (_, text, options) => {
    expect(read(text, options).problems.filter((p) => p.severity !== "note")).toEqual([]);
    expect(d50(text, options)).toBeCloseTo(2 * Math.SQRT2, 6);
  });

  test("UTF-16 with and without a mark, and Windows-1252", () => {
    const text = "lower µm\tupper µm\tvolume %\n1\t2\t20\n2\t4\t60\n4\t8\t20\n";
    const utf16 = new Uint8Array([...text].flatMap((c) => [c.charCodeAt(0) & 255, c.charCodeAt(0) >> 8]));
    const latin = new Uint8Array([...text].map((c) => c.charCodeAt(0)));
    for (const bytes of [utf16, new Uint8Array([255, 254, ...utf16]), latin]) {
      const { measurements, how } = readTable(bytes, "x.txt", {});
      expect(measurements.length).toBe(1);
      expect(how.find((g) => g.option === "unit")?.source).toBe("table");
    }
  });
});

describe("what the table does not say is asked, with what each answer does to D50", () => {
  test("edge and quantity of a bare table", () => {
    const { measurements, problems } = read("size,share\n1,20\n2,60\n4,20\n");
    expect(measurements).toEqual([]);
    const questions = problems.filter((p) => p.severity === "question");
    expect(questions.map((q) => q.choices?.[0]?.option)).toEqual(["edge", "quantity"]);
    expect(questions[0]?.effect).toMatch(/lower: D50 2.828 µm; upper: D50 1.414 µm/);
    expect(questions[1]?.choices?.map((c) => c.value)).toEqual(["number", "length", "surface", "volume"]);
  });

  test("mids that do not say which", () => {
    const { problems } = read("mid um,volume %\n1,20\n2,60\n4,20\n");
    expect(problems.find((p) => p.severity === "question")?.expected).toBe("geometric-mid, arithmetic-mid");
  });

  test("uneven mids give no edges", () => {
    expect(
      read("geometric mid um,volume %\n1,20\n2,60\n7,20\n").problems.some((p) => p.severity === "question"),
    ).toBe(true);
  });
});

describe("the stated rules", () => {
  test("missing end edges continue the nearest step", () => {
    const upper = read("upper um,volume %\n2,20\n4,60\n8,20\n").measurements[0]?.distribution;
    const lower = read("lower um,volume %\n1,20\n2,60\n4,20\n").measurements[0]?.distribution;
    expect(upper?.lowerUm[0]).toBe(1);
    expect(lower?.upperUm.at(-1)).toBe(8);
  });
  test("the first cumulative value is the share below, the rest to 1 the share above", () => {
    const m = read("size um,volume undersize %\n1,10\n2,50\n4,95\n").measurements[0]?.distribution;
    expect(m?.belowShare).toBeCloseTo(0.1, 15);
    expect(m?.aboveShare).toBeCloseTo(0.05, 15);
  });
  test("a drop of 0.0005 is levelled and noted, more is refused", () => {
    expect(
      read("size um,volume undersize %\n1,10\n2,50\n3,49.95\n4,95\n").problems.some((p) =>
        /levelled/.test(p.message),
      ),
    ).toBe(true);
    expect(refusedFor("size um,volume undersize %\n1,10\n2,50\n3,49.8\n4,95\n")?.row).toBe(4);
  });
  test("a sum of 99.8 % is divided out and noted; 93 % is refused and says what is missing", () => {
    const { measurements, problems } = read("lower_um,upper_um,volume %\n1,2,20\n2,4,59.8\n4,8,20\n");
    expect(measurements[0]?.distribution.shares.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 14);
    expect(problems.some((p) => p.severity === "note" && /divided by their sum/.test(p.message))).toBe(true);
    expect(refusedFor("lower_um,upper_um,volume %\n1,2,20\n2,4,53\n4,8,20\n")?.message).toMatch(
      /7 % of the whole is missing/,
    );
  });
  test("a class from 0 is the share below, unless a first edge is given", () => {
    const text = "lower_um,upper_um,volume %\n0,1,10\n1,2,50\n2,4,40\n";
    expect(read(text).measurements[0]?.distribution.belowShare).toBeCloseTo(0.1, 15);
    expect(read(text, { firstEdgeUm: 0.5 }).measurements[0]?.distribution.lowerUm[0]).toBe(0.5);
  });
  test("names: heading, else stem, repeats numbered; only chooses; a mean column is no run", () => {
    const text = "lower_um,upper_um,a,a,mean\n1,2,20,40,30\n2,4,80,60,70\n";
    const options = { quantity: "volume" } as const;
    expect(read(text, options).measurements.map((m) => m.name)).toEqual(["a", "a (2)"]);
    expect(read(text, { ...options, only: ["a (2)"] }).measurements.map((m) => m.name)).toEqual(["a (2)"]);
    expect(refusedFor(text, { ...options, only: ["b"] })?.message).toMatch(/no measurement named b/);
    expect(read("1,2,20\n2,4,60\n4,8,20\n", options).measurements[0]?.name).toBe("lot");
  });
  test("one bad measurement never costs the others", () => {
    const { measurements, problems } = read(
      "lower_um,upper_um,good vol %,bad vol %\n1,2,20,20\n2,4,60,-1\n4,8,20,81\n",
    );
    expect(measurements.map((m) => m.name)).toEqual(["good vol %"]);
    expect(problems.find((p) => p.severity === "refused")).toMatchObject({
      measurement: "bad vol %",
      row: 3,
      column: 4,
      found: "-1",
    });
  });
  test("cells that are already apart read the same", () => {
    expect(
      readRows(
        [
          ["lower_um", "upper_um", "volume %"],
          [1, 2, 20],
          [2, 4, 60],
          [4, 8, 20],
        ],
        null,
        {},
      ).measurements.length,
    ).toBe(1);
  });
  test("a density that is no whole says what it gives", () => {
    expect(refusedFor("upper um,volume\n1,2\n2,3\n", { values: "density" })?.message).toMatch(
      /gives 4 per unit of size/,
    );
  });
});

describe("bad input is a clear problem each, and nothing is read", () => {
  test.each([
    ["an empty file", "", /empty/],
    ["words", "the quick brown fox\njumps over\n", /No table was found/],
    ["a number too large", "lower_um,upper_um,volume %\n1,2,50\n2,1e308,50\n", /larger than a metre/],
    ["a share too large", "lower_um,upper_um,volume %\n1,2,1e308\n2,4,1e308\n", /too much/],
    ["a negative share", "lower_um,upper_um,volume %\n1,2,120\n2,4,-20\n", /cannot be negative/],
    ["sizes out of order", "upper um,volume %\n1,20\n4,60\n2,20\n", /out of order/],
    ["one class", "lower_um,upper_um,volume %\n1,2,100\n", /One class/],
    ["a word among the shares", "lower_um,upper_um,volume %\n1,2,50\n2,4,soft\n4,8,50\n", /no number/],
    ["a gap between classes", "lower_um,upper_um,volume %\n1,2,50\n3,4,30\n4,5,20\n", /must meet/],
  ])("%s", (_, text, message) => {
    const problem = refusedFor(text);
    expect(problem?.message).toMatch(message);
    expect(problem?.found).not.toBeNull();
    expect(problem?.expected).not.toBeNull();
  });
});

describe("small tables at the border of a rule", () => {
  test("two sizes that both say below are undersize where the words say so; shares that add to a whole are asked about", () => {
    const [one] = read("size,undersize volume %\n<10 um,30\n<100 um,100\n").measurements;
    expect(one?.distribution).toMatchObject({ lowerUm: [10], upperUm: [100], belowShare: 0.3 });
    expect(one?.distribution.shares[0]).toBeCloseTo(0.7, 12);
    const { measurements, problems } = read("size,volume %\n<10 um,30\n<100 um,70\n");
    expect(measurements).toEqual([]);
    expect(problems.map((p) => p.severity)).toEqual(["question"]);
  });
  test("shares that add to 99.4 or 100.6 may be those of classes, and are asked about", () => {
    for (const rest of [68.8, 70]) {
      const { measurements, problems } = read(`size,volume\n<10 um,30.6\n<100 um,${rest}\n`);
      expect(measurements).toEqual([]);
      expect(problems.map((p) => p.severity)).toContain("question");
    }
  });
  test("two columns of which the second neither only rises nor only falls beside the first are no edges", () => {
    const text = "size um,a,b\n1,2,10\n2,4,20\n4,8,40\n8,16,20\n16,32,6\n32,4,4\n";
    const { measurements } = read(text, { edge: "lower", quantity: "volume" });
    expect(measurements.map((m) => m.name)).toEqual(["b"]);
  });
  test("above two columns, a name with a colon is a heading and no remark", () => {
    const { measurements } = read("size um:,undersize volume %\n1,10\n2,50\n4,100\n");
    expect(measurements.map((m) => m.name)).toEqual(["undersize volume %"]);
  });
  test("with nothing below the first size, a lower end that is given makes no class", () => {
    const [one] = read("size um,undersize volume %\n1,0\n2,20\n4,80\n8,100\n", {
      firstEdgeUm: 0.5,
    }).measurements;
    expect(one?.distribution.lowerUm).toEqual([1, 2, 4]);
    const { problems } = read("size um,undersize volume %\n1,0\n2,20\n4,80\n8,100\n", { firstEdgeUm: 0.5 });
    expect(problems.map((p) => p.message).join(" ")).not.toMatch(/The share below is taken/);
  });
  test("a last class beyond a size begins where the one before it ends: the sizes are upper edges", () => {
    const { measurements, problems } = read("size um,volume %\n1,20\n2,40\n4,30\n>4,10\n");
    expect(problems.filter((p) => p.severity === "question")).toEqual([]);
    expect(measurements[0]?.distribution).toMatchObject({ upperUm: [1, 2, 4], aboveShare: 0.1 });
  });
  test("a first size without a value closes the finest class", () => {
    const { measurements } = read("size um,volume %\n1,\n2,20\n4,50\n8,30\n");
    expect(measurements[0]?.distribution).toMatchObject({
      lowerUm: [1, 2, 4],
      upperUm: [2, 4, 8],
      shares: [0.2, 0.5, 0.3],
    });
  });
  test("a square table that could be read either way goes by its columns", () => {
    const square = "size um,1,2,4\n1,10,20,100\n2,30,50,100\n4,100,100,100\n";
    const { measurements } = read(square, { edge: "upper", quantity: "volume" });
    expect(measurements.map((m) => m.name)).toEqual(["1", "2"]);
  });
  test("asked for as one value a row, a table of two columns is none", () => {
    expect(refusedFor("size um,volume undersize\n1,10\n2,50\n4,99\n", { layout: "long" })?.message).toMatch(
      /^No table was found/,
    );
  });
  test("the fault of the first row is told even where one row follows", () => {
    expect(refusedFor("size um,undersize volume %\n1,x\n2,100\n")?.message).toMatch(
      /^Row 2, column 2: "x" is no number/,
    );
  });
  test("a table without a heading goes by the one before, if that names two of its three columns", () => {
    const text = "size um,undersize volume %,\n1,10,5\n2,50,6\n4,100,7\n\n\n1,20,5\n2,60,6\n4,100,8\n";
    const { measurements } = read(text);
    expect(measurements.map((m) => m.name)).toEqual(["undersize volume %", "undersize volume % (2)"]);
  });
  test("an upper edge alone beside a second lot is no second pair of edges", () => {
    const text = "lower um,upper um,a volume %,upper um,upper,b volume %\n1,2,20,1,2,30\n2,4,80,2,4,70\n";
    const { measurements, problems } = read(text);
    expect(measurements.map((m) => m.name)).toEqual(["a volume %", "b volume %"]);
    expect(problems[0]?.message).toBe('Left out as further columns of sizes: "upper um".');
  });
  test("per cent that end at 99 are not said to reach about 100", () => {
    const { problems } = read("size um,volume undersize\n1,10\n2,50\n4,99\n");
    expect(problems.map((p) => p.message).join(" ")).toMatch(/per cent, since the values reach 99\./);
  });
  test("a row named only by a number behind an empty cell goes by that number's heading", () => {
    const text = "lot,run,1 um,2 um,4 um,8 um\n,3,10,40,40,10\n,4,12,40,38,10\n";
    const { measurements } = read(text, { edge: "upper", quantity: "volume" });
    expect(measurements.map((m) => m.name)).toEqual(["run 3", "run 4"]);
  });
  test("words above headings that differ are a remark, and no part of the names", () => {
    const text = "Lot 7,,Lot 8\nsize um,run 1 volume %,run 2 volume %\n1,10,10\n2,40,40\n4,40,40\n8,10,10\n";
    const { measurements, notes } = read(text, { edge: "upper" });
    expect(measurements.map((m) => m.name)).toEqual(["run 1 volume %", "run 2 volume %"]);
    expect(notes).toEqual(["Lot 7\tLot 8"]);
  });
});
