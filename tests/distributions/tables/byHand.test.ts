import { describe, expect, test } from "vitest";
import { readTable } from "#distributions/tables/readTable.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";

// Which cells make a table. Every expectation is what a person sees in the text.
const read = (text: string, options: ReadingOptions = {}) =>
  readTable(text, "lot.csv", { quantity: "volume", ...options });
const seen = (text: string, options: ReadingOptions = {}) => {
  const { measurements, problems } = read(text, options);
  expect(problems.filter((p) => p.severity !== "note")).toEqual([]);
  return measurements.map(({ name, distribution: d }) => [
    name,
    d.lowerUm.join(" "),
    d.upperUm.at(-1),
    d.shares.map((s) => Math.round(1e6 * s) / 1e4).join(" "),
  ]);
};
const whole = ["1 2 4", 8, "20 60 20"] as const;

describe("columns", () => {
  test("a running number is no size, named or not; a class named by its number is", () => {
    for (const head of ["", "no", "No.", "class", "#"])
      expect(seen(`${head},lower um,upper um,lot\n1,1,2,20\n2,2,4,60\n3,4,8,20\n`)).toEqual([
        ["lot", ...whole],
      ]);
    expect(seen("no,size um,lot\n1,10,20\n2,20,60\n3,40,20\n", { edge: "lower" })).toEqual([
      ["lot", "10 20 40", 80, "20 60 20"],
    ]);
    expect(seen("no,size um,lot\n0,10,20\n1,20,60\n2,40,20\n", { edge: "lower" })).toEqual([
      ["lot", "10 20 40", 80, "20 60 20"],
    ]);
    // Sizes of 1, 2 and 3 µm are sizes where nothing else is.
    expect(seen("size um,lot\n1,20\n2,60\n3,20\n", { edge: "lower" })).toEqual([
      ["lot", "1 2 3", 4.5, "20 60 20"],
    ]);
  });
  test("two columns of sizes without words: edges where each class starts at the end of the one before", () => {
    expect(seen("a,b,lot\n1,2,20\n2,4,60\n4,8,20\n")).toEqual([["lot", ...whole]]);
    expect(seen("a,b,lot\n4,8,20\n2,4,60\n1,2,20\n")).toEqual([["lot", ...whole]]);
    // Shares that happen to be the sizes that follow are shares, if their heading says so.
    expect(
      seen("size um,lot A %,lot B %\n5,15,20\n15,35,60\n35,50,20\n", { edge: "lower" }).map(([name]) => name),
    ).toEqual(["lot A %", "lot B %"]);
    // Upper before lower, and one seam in five that does not quite meet.
    expect(seen("a,b,lot\n2,1,20\n4,2,60\n8,4,20\n")).toEqual([["lot", ...whole]]);
  });
  test("headings over the edges alone: the columns behind them are lots without a name", () => {
    expect(seen("from;to\n1;2;20;30\n2;4;60;40\n4;8;20;30\n").map(([name, , , s]) => [name, s])).toEqual([
      ["lot", "20 60 20"],
      ["lot (2)", "30 40 30"],
    ]);
  });
  test("of two runs of numbers behind a running number the first holds the sizes", () => {
    const { measurements } = read("no,a,b,lot\n1,10,1.1,20\n2,20,2.2,60\n3,40,4.4,20\n", { edge: "lower" });
    expect(measurements.find((m) => m.name === "lot")?.distribution.lowerUm).toEqual([10, 20, 40]);
  });
  test("open ends beside a running number: the column that runs in order holds the sizes", () => {
    const text = "no,x,lot\n1,<1,0\n2,1,20\n3,2,60\n4,4,20\n5,>8,0\n";
    expect(seen(text, { edge: "lower" })).toEqual([["lot", ...whole]]);
    const twins = "no,x,lot\n1,<1,0\n2,2,20\n3,4,60\n4,8,20\n5,>8,0\n";
    expect(seen(twins, { edge: "upper" })[0]?.[1]).toBe("1 2 4");
  });
  test("a heading that says mesh over numbers that are none is no unit", () => {
    const unit = (text: string) => read(text, { edge: "lower" }).how.find((g) => g.option === "unit");
    expect(unit("mesh,lot\n70,20\n75,60\n150,20\n")).toMatchObject({ value: "um", source: "assumed" });
    expect(unit("mesh,lot\n200,20\n140,60\n100,20\n")).toMatchObject({ value: "mesh", source: "table" });
  });
  test("one size between open ends is one class", () => {
    const one = read("size um,lot\n<1,10\n2,80\n>2,10\n", { edge: "upper" }).measurements[0]?.distribution;
    expect([one?.lowerUm, one?.upperUm, one?.belowShare, one?.aboveShare]).toEqual([
      [1],
      [2],
      expect.closeTo(0.1, 14),
      expect.closeTo(0.1, 14),
    ]);
    expect(read("size um,lot\n<1,10\n>1,90\n", { edge: "upper" }).measurements).toEqual([]);
  });
  test("mids between the edges are left out, and both edges are the table's own", () => {
    const { measurements, problems } = read(
      "lower um,mid um,upper um,lot\n1,1.4,2,20\n2,2.8,4,60\n4,5.7,9,20\n",
    );
    expect(measurements[0]?.distribution.upperUm).toEqual([2, 4, 9]);
    expect(problems.map((p) => p.message)).toContain('Left out as further columns of sizes: "mid um".');
  });
  test("a second column of sizes is left out and named", () => {
    const { problems } = read("lower um,upper um,mid um,lot\n1,2,1.4,20\n2,4,2.8,60\n4,8,5.7,20\n");
    expect(problems.map((p) => [p.message, p.found])).toContainEqual([
      'Left out as further columns of sizes: "mid um".',
      '"mid um"',
    ]);
  });
  test("a column of words is no measurement", () => {
    expect(seen("lower um,upper um,lot,remark\n1,2,20,fine\n2,4,60,middle\n4,8,20,coarse\n")).toEqual([
      ["lot", ...whole],
    ]);
  });
  test("tables side by side end where the shorter one ends", () => {
    expect(
      seen("size um,A,size um,B\n1,0,2,0\n2,20,4,50\n4,80,8,100\n8,100,,\n", { values: "undersize" }),
    ).toEqual([
      ["A", ...whole],
      ["B", "2 4", 8, "50 50"],
    ]);
  });
  test("the shorter of two tables side by side may be the left one, and may have a column for each edge", () => {
    const long = ["B", "2 4 8", 16, "20 60 20"] as const;
    expect(seen("upper um,A,,upper um,B\n2,30,,4,20\n4,70,,8,60\n,,,16,20\n", { edge: "upper" })).toEqual([
      ["A", "1 2", 4, "30 70"],
      long,
    ]);
    expect(
      seen("lower um,upper um,A,lower um,upper um,B\n1,2,30,2,4,20\n2,4,70,4,8,60\n,,,8,16,20\n"),
    ).toEqual([["A", "1 2", 4, "30 70"], long]);
    expect(
      seen("lower um,upper um,A,lower um,upper um,B\n1,2,20,2,4,20\n2,4,60,4,8,60\n4,8,20,8,16,20\n"),
    ).toEqual([["A", ...whole], long]);
    const named = "A from um,A to um,A %,B from um,B to um,B %";
    expect(seen(`${named}\n1,2,30,2,4,20\n2,4,70,4,8,60\n,,,8,16,20\n`)).toEqual([
      ["A %", "1 2", 4, "30 70"],
      ["B %", ...long.slice(1)],
    ]);
    // Two edges under one heading are one table.
    expect(seen("size um,size um,A,B\n1,2,20,30\n2,4,60,40\n4,8,20,30\n")).toEqual([
      ["A", ...whole],
      ["B", "1 2 4", 8, "30 40 30"],
    ]);
  });
  test("sizes of another heading that are not the first's begin a table of their own", () => {
    const two = [
      ["A", "1 2", 4, "30 60", 0.1],
      ["B", "1.5 3", 6, "30 60", 0.1],
    ];
    const found = (text: string) =>
      read(text).measurements.map(({ name, distribution: d }) => [
        /\b[AB]\b/.exec(name)?.[0],
        d.lowerUm.join(" "),
        d.upperUm.at(-1),
        d.shares.map((s) => Math.round(1e6 * s) / 1e4).join(" "),
        d.belowShare,
      ]);
    const rows = "1,10,1.5,10\n2,40,3,40\n4,100,6,100\n";
    expect(found(`Size A (um),Undersize A %,Size B (um),Undersize B %\n${rows}`)).toEqual(two);
    expect(found(`Diameter 1,Undersize A %,Diameter 2,Undersize B %\n${rows}`)).toEqual(two);
    expect(found(`A,,B,\nSize um,Undersize %,Size um,Undersize %\n${rows}`)).toEqual(two);
    // One is longer: the first, then the second.
    const [a, b] = two;
    const short = "Size A um,Undersize A %,Size B um,Undersize B %\n1,10,1.5,10\n2,40,3,40\n";
    expect(found(`${short}4,100,6,80\n,,12,100\n`)).toEqual([a, ["B", "1.5 3 6", 12, "30 40 20", 0.1]]);
    expect(found(`${short}4,80,6,100\n8,100,,\n`)).toEqual([["A", "1 2 4", 8, "30 40 20", 0.1], b]);
    // The same sizes again, in another unit, or the other edges, are no table.
    for (const heads of ["size um,A %,size phi,B %", "lower um,A %,upper um,B %"])
      expect(seen(`${heads}\n1,20,2,30\n2,60,4,40\n4,20,8,30\n`, { edge: "lower" })).toEqual([
        ["A %", ...whole],
        ["B %", "1 2 4", 8, "30 40 30"],
      ]);
  });
  test("units under a single name belong to it", () => {
    expect(seen(",lot A\num,volume %\n1,20\n2,60\n4,20\n", { edge: "lower" })).toEqual([
      ["lot A volume %", ...whole],
    ]);
  });
  test("a first share that cannot be read is told, and is no heading", () => {
    const faults = (text: string) =>
      read(text, { edge: "upper" })
        .problems.filter((p) => p.severity === "refused")
        .map(({ row, column, found }) => [row, column, found]);
    for (const mark of ["1.5*", "soft", "(0.5)"])
      expect(faults(`size um,lot\n1,${mark}\n2,60\n4,20\n8,20\n`)).toEqual([[2, 2, mark]]);
    expect(faults("1,soft\n2,60\n4,20\n8,20\n")).toEqual([[1, 2, "soft"]]);
    expect(faults("size um,lot\n1,soft\n2,soft\n4,80\n8,20\n")).toEqual([[2, 2, "soft"]]);
    expect(faults("size um,lot\n8,soft\n4,20\n2,60\n1,20\n")).toEqual([[2, 2, "soft"]]);
    // A mark that says that nothing was found is nothing, where the others are the whole.
    for (const mark of ["n.d.", "<0.1", "-", "BDL"])
      expect(seen(`size um,lot\n0.5,${mark}\n1,20\n2,60\n4,20\n`, { edge: "lower" })).toEqual([
        ["lot", "0.5 1 2 4", 8, "0 20 60 20"],
      ]);
    // A number that the sizes do not run on from names a column.
    expect(seen("2026,lot\n1,20\n2,60\n4,20\n", { edge: "lower" })).toEqual([["lot", ...whole]]);
  });
  test("a class open below or above, beside a size that says the same", () => {
    expect(seen("size um,lot\n<1,0\n1,20\n2,60\n4,20\n", { edge: "lower" })).toEqual([["lot", ...whole]]);
    expect(seen("size um,lot\n2,20\n4,60\n8,20\n>8,0\n", { edge: "upper", firstEdgeUm: 1 })).toEqual([
      ["lot", ...whole],
    ]);
  });
  test("ranges in one cell, rising or falling, and open at either end", () => {
    expect(seen("class um,lot\n1-2,20\n2-4,60\n4-8,20\n")).toEqual([["lot", ...whole]]);
    expect(seen("class um,lot\n2-1,20\n4-2,60\n8-4,20\n")).toEqual([["lot", ...whole]]);
    const open = read("class um,lot\n<1,10\n1-2,20\n2-4,60\n>4,10\n").measurements[0]?.distribution;
    expect(open?.lowerUm).toEqual([1, 2]);
    expect([open?.belowShare, open?.aboveShare]).toEqual([expect.closeTo(0.1, 14), expect.closeTo(0.1, 14)]);
  });
  test("sizes each in a unit of its own stay in order", () => {
    expect(seen("size,lot\n500 nm,0\n1 um,40\n2 um,100\n", { values: "undersize" })).toEqual([
      ["lot", "0.5 1", 2, "40 60"],
    ]);
  });
});

describe("rows", () => {
  test("sizes across, a lot a row, named by its word or by the number under a heading", () => {
    expect(seen("lot,1,2,4\nA,20,60,20\nB,60,20,20\n", { edge: "lower" })).toEqual([
      ["A", ...whole],
      ["B", "1 2 4", 8, "60 20 20"],
    ]);
    expect(
      seen("run,1,2,4\n7,20,60,20\n9,60,20,20\n", { edge: "lower", layout: "rows" }).map(([name]) => name),
    ).toEqual(["run 7", "run 9"]);
  });
  test("ranges across", () => {
    expect(seen("lot,1-2,2-4,4-8\nA,20,60,20\n")).toEqual([["A", ...whole]]);
    expect(seen("lot,1-2,2-4\nA,20,80\n")).toEqual([["A", "1 2", 4, "20 80"]]);
  });
  test("words around each size, of one number or of two", () => {
    expect(seen("lot,le_1_um,le_2_um,le_4_um,le_8_um\nA,0,20,80,100\n", { values: "undersize" })).toEqual([
      ["A", ...whole],
    ]);
    expect(seen("lot,1_to_2_um,2_to_4_um,4_to_8_um\nA,20,60,20\n")).toEqual([["A", ...whole]]);
  });
  test("a row of upper edges under one of lower edges", () => {
    expect(seen("lower um,1,2,4\nupper um,2,4,8\nA,20,60,20\n")).toEqual([["A", ...whole]]);
  });
  test("the mean of runs is read where it stands alone", () => {
    expect(seen("lot,1-2,2-4,4-8\nmean of runs,20,60,20\n")).toEqual([["mean of runs", ...whole]]);
  });
  test("a line with one number between the sizes and the lots is a remark", () => {
    expect(seen("lot,1,2,4\nbag,7,,\nA,20,60,20\n", { edge: "lower" })).toEqual([["A", ...whole]]);
  });
  test("a remark between two lots loses neither", () => {
    const text = "lot,1,2,4\nA,20,60,20\nsieved again,,,\nB,60,20,20\n";
    expect(seen(text, { edge: "lower" }).map(([name]) => name)).toEqual(["A", "B"]);
  });
  test("a line between the sizes and the lots still says what the shares count", () => {
    const text = "lot,1-2,2-4,4-8\nshares by number,,,\nA,20,60,20\n";
    expect(readTable(text, null, {}).measurements[0]?.distribution.quantity).toBe("number");
  });
  test("ranges across, each from its larger size to its smaller", () => {
    expect(seen("lot,8-4,4-2,2-1\nA,20,60,20\n")).toEqual([["A", ...whole]]);
  });
  test("two tables with sizes of their own: each lot is read at its own", () => {
    const text = "lot,1-2,2-4,4-8\nA,20,60,20\n\nmill 2,,,\nlot,2-4,4-8,8-16\nB,60,20,20\n";
    expect(seen(text)).toEqual([
      ["A", ...whole],
      ["B", "2 4 8", 16, "60 20 20"],
    ]);
  });
  test("summary rows and blank lines are passed over", () => {
    expect(
      seen("lot,1,2,4\nA,20,60,20\n\nB,60,20,20\nTotal,80,80,40\n", { edge: "lower", layout: "rows" }).map(
        ([name]) => name,
      ),
    ).toEqual(["A", "B"]);
  });
  test("the place of a fault is its own cell", () => {
    const { problems } = read("remark\nlot,1,2,4\nA,20,60,20\nB,60,-20,60\n", {
      edge: "lower",
      layout: "rows",
    });
    expect(problems.find((p) => p.severity === "refused")).toMatchObject({
      row: 4,
      column: 3,
      found: "-20",
      measurement: "B",
    });
  });
});

describe("long tables", () => {
  const rows = (names: readonly string[], shares: readonly number[]) =>
    names.map((n) => shares.map((s, i) => `${n},${2 ** i},${s}`).join("\n")).join("\n");
  test("a value a row, named by one label or by two", () => {
    expect(seen(`sample,size um,share\n${rows(["A", "B"], [20, 60, 20])}\n`, { edge: "lower" })).toEqual([
      ["A", ...whole],
      ["B", ...whole],
    ]);
    expect(
      seen(`lot,bag,size um,share\n${rows(["A,1", "A,2", "B,1"], [20, 60, 20])}\n`, { edge: "lower" }).map(
        ([name]) => name,
      ),
    ).toEqual(["A 1", "A 2", "B 1"]);
  });
  test("sizes across under their name are sizes, though a column of two lots' shares happens to rise as well", () => {
    const text = "size in um\t1\t2\t4\t8\t16\nA\t0\t20\t50\t90\t100\nB\t0\t20\t55\t95\t100\n";
    expect(read(text).measurements.map(({ name, distribution: d }) => [name, d.lowerUm.join(" ")])).toEqual([
      ["A", "1 2 4 8"],
      ["B", "1 2 4 8"],
    ]);
  });
  test("a column that changes within a sample is no label of it", () => {
    const cells = "A,x,1,20\nA,y,2,60\nA,y,4,100\nB,y,1,20\nB,y,2,60\nB,y,4,100";
    const found = read(`sample,operator,size um,undersize %\n${cells}\n`).measurements;
    expect(found.map((m) => m.name)).toEqual(["A", "B"]);
  });
  test("a sample that goes by a number takes the word above it", () => {
    expect(
      seen(`soil_id,size um,share\n${rows(["7", "9"], [20, 60, 20])}\n`, { edge: "lower" }).map(
        ([name]) => name,
      ),
    ).toEqual(["soil 7", "soil 9"]);
  });
  test("two values a row make two measurements of each sample", () => {
    expect(
      seen(
        `sample,size um,first,second\n${["A", "B"].map((n) => `${n},1,20,10\n${n},2,60,30\n${n},4,20,60`).join("\n")}\n`,
        { edge: "lower" },
      ).map(([name, , , s]) => [name, s]),
    ).toEqual([
      ["A first", "20 60 20"],
      ["A second", "10 30 60"],
      ["B first", "20 60 20"],
      ["B second", "10 30 60"],
    ]);
  });
  test("sizes that no word names are known by their order", () => {
    expect(
      seen(`sample,x,share\n${rows(["A", "B"], [20, 60, 20])}\n`, { edge: "lower" }).map(([name]) => name),
    ).toEqual(["A", "B"]);
  });
  test("a running number of the rows is no value, by its heading or by its run", () => {
    const numbered = (head: string, first: number) =>
      `sample,size um,share,${head}\n${["A", "B"].flatMap((n, k) => [20, 60, 20].map((s, i) => `${n},${2 ** i},${s},${first + 3 * k + i}`)).join("\n")}\n`;
    expect(seen(numbered("row", 5), { edge: "lower" }).map(([name]) => name)).toEqual(["A", "B"]);
    expect(seen(numbered("count up", 5), { edge: "lower" }).map(([name]) => name)).toEqual(["A", "B"]);
  });
  test("a question about a sample is asked at its first row", () => {
    const { problems } = readTable(`sample,size um,share\n${rows(["A", "B"], [20, 60, 20])}\n`, null, {
      edge: "lower",
      only: ["B"],
    });
    expect(problems.find((p) => p.severity === "question")).toMatchObject({
      measurement: "B",
      row: 5,
      column: 3,
    });
  });
  test("one sample alone is long only if that is asked", () => {
    expect(
      read("sample,size um,share\nA,1,20\nA,2,60\nA,4,20\n", { edge: "lower" }).how.find(
        (g) => g.option === "layout",
      )?.value,
    ).toBe("columns");
  });
  test("a size twice in a sample: both rows", () => {
    const { problems } = read(`sample,size um,share\n${rows(["A", "B"], [20, 60, 20])}\nA,2,60\n`, {
      edge: "lower",
      layout: "long",
    });
    expect(problems.find((p) => p.severity === "refused")).toMatchObject({
      message: expect.stringContaining("Sample A has two values at 2 (rows 3 and 8)."),
      row: 8,
      column: 2,
      measurement: "A",
      found: "2 twice",
    });
  });
});

describe("where one table ends and the next begins", () => {
  const lot = "1,2,20\n2,4,60\n4,8,20\n";
  const head = "lower um,upper um,lot\n";
  test("a page break, a repeated heading or a blank line inside is passed over", () => {
    for (const between of ["page 1 of 2\n", "- 1/2 -\n", head, "\n", `\npage 2\n${head}`])
      expect(seen(`${head}1,2,20\n2,4,60\n${between}4,8,20\n`), between).toEqual([["lot", ...whole]]);
  });
  test("a blank line after three classes and more parts no table whose sizes go on", () => {
    expect(seen(`${head}1,2,10\n2,4,30\n4,8,40\n\n8,16,20\n`)).toEqual([
      ["lot", "1 2 4 8", 16, "10 30 40 20"],
    ]);
  });
  test("sizes that start over, or a heading of another table, end it", () => {
    expect(seen(`${head}${lot}\n${head.replace("lot", "more")}${lot}`).map(([name]) => name)).toEqual([
      "lot",
      "more",
    ]);
    expect(seen(`${head}${lot}\n${lot}`).map(([name]) => name)).toEqual(["lot", "lot (2)"]);
  });
  test("a lone row of numbers is a remark, above as below", () => {
    const { notes, measurements } = read(`12,7\n\n${head}${lot}\n0.5,6\n`);
    expect(measurements).toHaveLength(1);
    expect(notes).toContain("12\t7");
    expect(notes.join("|")).toContain("0.5\t6");
  });
  test("a weight above a table of two classes, cut at its decimal comma, is a remark", () => {
    const { notes, problems } = read("2,5 g\nlower um,upper um,volume %\n1,2,40\n2,4,60\n");
    expect([notes, problems]).toEqual([["2\t5 g"], []]);
  });
  test("rows after a blank line that begin in another column are another table", () => {
    expect(seen("size um,lot A\n1,20\n2,60\n4,20\n\n,1,30\n,2,40\n,4,30\n", { edge: "lower" })).toEqual([
      ["lot A", ...whole],
      ["lot", "1 2 4", 8, "30 40 30"],
    ]);
  });
  test("a class whose first edge is left out belongs to the table above it", () => {
    expect(seen(`${head}1,2,20\n2,4,60\n,8,20\n`, { edge: "upper" })).toEqual([["lot", ...whole]]);
  });
  test("units below the names, and a name over several columns", () => {
    expect(
      seen(`size,,lot A,lot B\nnm,nm,%,%\n1000,2000,20,50\n2000,4000,60,30\n4000,8000,20,20\n`).map(
        ([name, lower]) => [name, lower],
      ),
    ).toEqual([
      ["lot A %", "1 2 4"],
      ["lot B %", "1 2 4"],
    ]);
    expect(
      seen(`class,,host,,\nlower um,upper um,run 1,run 1,run 2\n1,2,20,50,30\n2,4,80,50,70\n`).map(
        ([name]) => name,
      ),
    ).toEqual(["host run 1", "host run 1 (2)", "host run 2"]);
  });
  test('over two columns "key: value" is their heading', () => {
    expect(seen("size um:,lot\n1,20\n2,60\n4,20\n", { edge: "lower" })).toEqual([["lot", ...whole]]);
  });
  test('"key: value" above is a remark, not a heading', () => {
    expect(read(`operator:,one\n1,2,20\n2,4,60\n4,8,20\n`).notes).toEqual(["operator:\tone"]);
  });
});
