import { describe, expect, test } from "vitest";
import { readTable } from "#distributions/tables/readTable.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";

// What is asked and said, and of whom. Every number is counted or worked by hand.
const read = (text: string, options: ReadingOptions = {}) => readTable(text, "lot.csv", options);
const names = ["a", "b", "c", "d", "e", "f", "g"];
const wide = (count: number, head: (name: string) => string, values = [50, 50]) =>
  `lower_um,upper_um,${names.slice(0, count).map(head).join(",")}\n${values
    .map(
      (v, i) =>
        `${2 ** i},${2 ** (i + 1)},${names
          .slice(0, count)
          .map(() => v)
          .join(",")}`,
    )
    .join("\n")}\n`;
const questions = (text: string, options: ReadingOptions = {}) =>
  read(text, options).problems.filter((p) => p.severity === "question");
const notes = (text: string, options: ReadingOptions = {}) =>
  read(text, options).problems.filter((p) => p.severity === "note");

test("what stands above a heading in two rows is a remark; the heading itself is none", () => {
  const text = "made on line 2\nsieved before\nsize,lot A,lot B\num,%,%\n1,20,25\n2,60,50\n4,20,25\n";
  const { measurements, notes: remarks } = read(text, { quantity: "volume", edge: "lower" });
  expect(measurements.map((m) => m.name)).toEqual(["lot A %", "lot B %"]);
  expect(remarks).toEqual(["made on line 2", "sieved before"]);
  expect(read(`dried before\n${text}`).notes).toEqual(["dried before", "made on line 2", "sieved before"]);
  expect(read(text.replace("made on line 2\n", "")).notes).toEqual(["sieved before"]);
});

test("bytes say how they were decoded, text does not ask", () => {
  const text = wide(1, (n) => `${n} volume %`);
  const encoding = (table: string | Uint8Array) =>
    readTable(table, "lot.csv", {}).how.find((guess) => guess.option === "encoding");
  expect(encoding(text)).toBeUndefined();
  expect(encoding(new TextEncoder().encode(text))).toMatchObject({ value: "utf-8", source: "table" });
});

test("who waits for two tables, or for a wide one, sees the share of the work rise and never pass the whole", () => {
  const table = wide(1, (n) => `${n} volume %`);
  const lots = Array.from({ length: 250 }, (_, i) => `lot ${i}`);
  const wideTable = `lower_um,upper_um,${lots.join(",")}\n1,2${",50".repeat(250)}\n2,4${",50".repeat(250)}\n`;
  for (const text of [`${table}\n${table}`, wideTable]) {
    const shares: number[] = [];
    readTable(text, null, { quantity: "volume" }, (share) => shares.push(share));
    expect(shares.length).toBeGreaterThan(2);
    expect(shares).toEqual(shares.toSorted((a, b) => a - b));
    expect(shares.at(-1)).toBeLessThanOrEqual(1);
  }
});

test("the decimal mark is said to be found or answered, whichever it was", () => {
  const said = (options: ReadingOptions) =>
    read(
      wide(1, (n) => `${n} volume %`),
      options,
    ).how.find((guess) => guess.option === "decimal");
  expect(said({})).toMatchObject({
    source: "table",
    evidence: "it leaves the most numbers and the fewest words",
  });
  expect(said({ decimal: "point" })).toMatchObject({ source: "option", evidence: "your answer" });
});

describe("a question about several measurements is asked once", () => {
  test("of one: its name and column; it is left out", () => {
    const [q, ...more] = questions(wide(1, (n) => `${n} %`));
    expect(more).toEqual([]);
    expect(q?.message).toBe(
      'Nothing says what the shares of "a %" (column 3) count: number, length, surface or volume. Say which; until then it is left out. The D50 given is by volume.',
    );
    expect(q).toMatchObject({ measurement: "a %", column: 3, row: null, found: "lower_um upper_um" });
    expect(q?.expected).toBe("number, length, surface, volume");
    expect(q?.effect).toMatch(/^number: D50 3\.\d+ µm; length: D50 .* volume: D50 2 µm$/);
  });
  test("of all of two: they are left out, and the D50 is of the first", () => {
    const [q] = questions(wide(2, (n) => `${n} %`));
    expect(q?.message).toContain(
      'the shares of the 2 measurements, "a %" (column 3), "b %" (column 4), count: number, length, surface or volume. Say which; until then they are left out.',
    );
    expect(q).toMatchObject({ measurement: null, column: null, row: null });
    expect(q?.effect).toMatch(/ \(of "a %"\)$/);
  });
  test("of all of five and of seven: five are named", () => {
    expect(questions(wide(5, (n) => `${n} %`))[0]?.message).toContain('"e %" (column 7), count:');
    expect(questions(wide(7, (n) => `${n} %`))[0]?.message).toContain(
      'the 7 measurements, "a %" (column 3), "b %" (column 4), "c %" (column 5), "d %" (column 6), "e %" (column 7) and 2 more, count:',
    );
  });
  test("of some: those alone, five by name", () => {
    const head = (n: string) => (n === "a" ? "a volume %" : `${n} %`);
    expect(questions(wide(3, head))[0]?.message).toContain(
      'the shares of "b %" (column 4), "c %" (column 5) count:',
    );
    expect(questions(wide(7, head))[0]?.message).toContain('"f %" (column 8) and 1 more count:');
    expect(questions(wide(2, head))[0]?.message).toContain("until then it is left out");
  });
  test("in rows the row says enough", () => {
    const [q] = questions("lot,1-2,2-4\nA,50,50\n");
    expect(q?.message).toContain('the shares of "A" count:');
    expect(q).toMatchObject({ measurement: "A", row: 2, column: null });
  });
  test("an edge: lower, upper or mid, with the median of each", () => {
    const [q] = questions("size um,volume %\n1,25\n2,50\n4,25\n");
    expect(q?.message).toBe(
      "Each size can be the lower or the upper edge of its class, or its mid. Say which.",
    );
    // Half of the powder lies below the middle of the middle class: √(2·4), √(1·2), and 2 for a mid of either kind
    // (arithmetic mids at a ratio of 2 have edges at 2/3 and 4/3 of the mid: √(4/3·8/3) = 1.886).
    expect(q?.effect).toBe(
      "lower: D50 2.828 µm; upper: D50 1.414 µm; geometric-mid: D50 2 µm; arithmetic-mid: D50 1.886 µm",
    );
    expect(questions("size um,volume %\n1,25\n2,50\n5,25\n")[0]?.message).toBe(
      "Each size can be the lower or the upper edge of its class. Say which. Mid sizes are not offered: their ratio is not constant within 1 % (it runs from 2 to 2.5).",
    );
    expect(questions("mid um,volume %\n1,25\n2,50\n4,25\n")[0]?.message).toBe(
      "The sizes are mids: geometric or arithmetic? Say which.",
    );
  });
});

describe("a note about several measurements is given once", () => {
  const off = [20, 79.8];
  const said = "The shares add to 99.8 % and were divided by their sum.";
  test("of one: by its name", () => {
    expect(notes(wide(1, (n) => `${n} volume %`, off))).toMatchObject([
      {
        message: said,
        measurement: "a volume %",
        found: "99.8 %",
        expected: "100 %",
        effect: "every share times 1.002",
      },
    ]);
  });
  test("of all: no name is needed", () => {
    expect(notes(wide(3, (n) => `${n} volume %`, off))).toMatchObject([{ message: said, measurement: null }]);
  });
  test("of some: their names, five of them", () => {
    const mixed = (count: number) =>
      `lower_um,upper_um,x volume %,${names
        .slice(0, count)
        .map((n) => `${n} volume %`)
        .join(",")}\n1,2,20,${names
        .slice(0, count)
        .map(() => 20)
        .join(",")}\n2,4,80,${names
        .slice(0, count)
        .map(() => 79.8)
        .join(",")}\n`;
    expect(notes(mixed(2))[0]?.message).toBe(`${said} (a volume %, b volume %)`);
    expect(notes(mixed(5))[0]?.message).toMatch(/d volume %, e volume %\)$/);
    expect(notes(mixed(7))[0]?.message).toMatch(/d volume %, e volume % and 2 more\)$/);
  });
  test("faults at rows of their own stay apart", () => {
    const { problems } = read("lower_um,upper_um,a volume %,b volume %\n1,2,-1,50\n2,4,50,-1\n");
    expect(problems.map((p) => [p.row, p.column])).toEqual([
      [2, 3],
      [3, 4],
    ]);
  });
});

describe("a decimal mark that reads either way", () => {
  test("is asked with both medians, and is not among what was decided", () => {
    const { problems, how } = read(
      "from_um;to_um;volume %\n1,000;2,000;25\n2,000;4,000;50\n4,000;8,000;25\n",
    );
    expect(problems).toHaveLength(1);
    expect(problems[0]?.choices).toEqual([
      { option: "decimal", value: "point", d50Um: expect.closeTo(2000 * Math.SQRT2, 9) },
      { option: "decimal", value: "comma", d50Um: expect.closeTo(2 * Math.SQRT2, 9) },
    ]);
    expect(problems[0]?.effect).toBe("point: D50 2828 µm; comma: D50 2.828 µm");
    expect(how.map((g) => g.option)).not.toContain("decimal");
  });
  test("is told where one reading alone makes sense", () => {
    // With a decimal point the shares would be 25125 and 74875, which add to no whole.
    const { problems, how } = read("from_um;to_um;volume %\n1,000;2,000;25,125\n2,000;4,000;74,875\n");
    expect(problems.filter((p) => p.severity !== "note")).toEqual([]);
    expect(how.find((g) => g.option === "decimal")).toMatchObject({
      value: "comma",
      source: "table",
      evidence: "read the other way, the table makes no sense",
    });
  });
});

describe("what was not there", () => {
  test("a name that was asked for: those there are", () => {
    const text = "lower_um,upper_um,a,a,b\n1,2,50,50,50\n2,4,50,50,50\n";
    expect(read(text, { quantity: "volume", only: ["c"] }).problems.at(-1)).toMatchObject({
      message: "There is no measurement named c. The table has a, a (2), b.",
      found: "a, a (2), b",
      expected: "c",
    });
  });
  test("sizes without shares: the row of the first", () => {
    expect(read("remark\nsize um,note\n1,fine\n2,coarse\n4,none\n").problems.at(-1)?.severity).toBe(
      "refused",
    );
  });
  test("shares torn at their commas: the row below the heading", () => {
    const [p] = read("remark\nsize,share\n1,0,20,0\n1,5,60,0\n2,0,20,0\n").problems;
    expect(p).toMatchObject({ row: 3, found: "4 cells", expected: "2 cells" });
  });
  test("two tables: how many, one measurement each", () => {
    const table = (n: string) => `lower_um,upper_um,${n} volume %\n1,2,50\n2,4,50\n4,8,0\n`;
    expect(notes(`${table("a")}\n${table("b")}`)[0]?.message).toBe("2 tables found: 2 measurements.");
    expect(notes(table("a"))).toEqual([]);
  });
});
