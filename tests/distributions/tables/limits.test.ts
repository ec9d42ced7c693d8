import { describe, expect, test } from "vitest";
import { readTable } from "#distributions/tables/readTable.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";

// The stated limits of the reader (docs/science.md), each from both sides. Every number is worked by hand.
const read = (text: string, options: ReadingOptions = {}) => readTable(text, "lot.csv", options);
const refusal = (text: string, options: ReadingOptions = {}) =>
  read(text, options).problems.find((p) => p.severity === "refused");
const question = (text: string, options: ReadingOptions = {}) =>
  read(text, options).problems.find((p) => p.severity === "question");
const notes = (text: string, options: ReadingOptions = {}) =>
  read(text, options)
    .problems.filter((p) => p.severity === "note")
    .map((p) => p.message);
const how = (text: string, option: string, options: ReadingOptions = {}) => {
  const guess = read(text, options).how.find((g) => g.option === option);
  return guess === undefined ? undefined : `${guess.value}, ${guess.evidence}`;
};
const shares = (text: string, options: ReadingOptions = {}) =>
  read(text, options).measurements[0]?.distribution.shares;
const edges = "lower_um,upper_um";

describe("shares of classes add to a whole", () => {
  const of = (a: number, b: number, head = "volume %") => `${edges},${head}\n1,2,${a}\n2,4,${b}\n`;
  test("from 99.4 to 100.6 %", () => {
    for (const sum of [99.4, 100.6])
      expect(shares(of(20, sum - 20))).toEqual(
        [20 / sum, (sum - 20) / sum].map((v) => expect.closeTo(v, 12)),
      );
    // Up to 1 % either way it is asked, beyond it is refused.
    for (const [b, sum] of [
      [79.39, 99.39],
      [80.61, 100.6],
      [79, 99],
      [81, 101],
    ] as const) {
      expect(question(of(20, b))).toMatchObject({
        message: expect.stringContaining(
          `The shares add to ${sum} %. Say whether to divide them by their sum`,
        ),
        column: 3,
        found: `a sum of ${sum} %`,
        choices: [{ option: "sum", value: "divide" }],
      });
      expect(shares(of(20, b), { sum: "divide" })?.[0]).toBeCloseTo(20 / (20 + b), 12);
    }
    expect(refusal(of(20, 78.9))?.message).toContain(
      "The shares add to 98.9 %; 1.1 % of the whole is missing",
    );
    expect(refusal(of(20, 81.1))?.message).toContain("The shares add to 101.1 %; that is 1.1 % too much");
    expect(refusal(of(20, 81.1))).toMatchObject({
      row: null,
      column: 3,
      found: "a sum of 101.1 %",
      expected: "a sum between 99.4 and 100.6 %",
    });
  });
  test("off by up to 0.05 % nothing is said", () => {
    expect(notes(of(20, 79.95))).toEqual([]);
    expect(notes(of(20, 80.05))).toEqual([]);
    expect(notes(of(20, 79.94))).toEqual(["The shares add to 99.94 % and were divided by their sum."]);
  });
  test("a whole to the last digit is left as it stands", () => {
    // 0.1 + 0.2 + 0.7 is 0.9999999999999999 in doubles.
    const own =
      "share of each class by volume as fraction\nlower_um,upper_um,lot\n1,2,0.1\n2,4,0.2\n4,8,0.7\n";
    expect(shares(own)).toEqual([0.1, 0.2, 0.7]);
  });
  test("in rows the row is the place", () => {
    expect(refusal("lot,1-2,2-4\nA,20,70\n", { quantity: "volume", scale: "percent" })).toMatchObject({
      row: 2,
      column: null,
    });
  });
});

describe("amounts", () => {
  test("are divided by their total; a total of nothing is refused", () => {
    expect(shares(`${edges},count\n1,2,30\n2,4,90\n`)).toEqual([0.25, 0.75]);
    expect(refusal(`${edges},count\n1,2,0\n2,4,0\n`)).toMatchObject({
      column: 3,
      row: null,
      found: "0",
      expected: "a total above zero",
    });
    expect(refusal(`${edges},count\n1,2,30\n2,4,-1\n`)).toMatchObject({ row: 3, column: 3, found: "-1" });
    // Less than a gram in all is shared out as well.
    expect(shares(`${edges},mass g\n1,2,0.2\n2,4,0.6\n`)).toEqual(
      [0.25, 0.75].map((v) => expect.closeTo(v, 12)),
    );
  });
  test("that only rise are divided by the last", () => {
    const m = read("size um,cumulative count\n1,0\n2,30\n4,120\n").measurements[0]?.distribution;
    expect(m?.shares).toEqual([0.25, 0.75]);
    expect(m?.quantity).toBe("number");
  });
});

describe("a cumulative curve", () => {
  const of = (values: readonly number[], head = "volume undersize %") =>
    `size um,${head}\n${values.map((v, i) => `${2 ** i},${v}`).join("\n")}\n`;
  test("reaches 100.05 % at most", () => {
    expect(shares(of([0, 50, 100.05]))).toEqual([0.5, 0.5]);
    expect(refusal(of([0, 50, 120]))?.message).toContain("The undersize reaches 120 %, more than the whole.");
    expect(refusal(of([0, 50, 100.06]))).toMatchObject({
      row: 4,
      column: 2,
      found: "100.1 %",
      expected: "at most 100 %",
    });
  });
  test("falls by 0.05 points at most", () => {
    const said = notes(of([0, 50, 49.95, 100]));
    expect(said).toEqual(["The undersize falls by 0.05 points at row 4 (rounding) and was levelled."]);
    expect(read(of([0, 50, 49.95, 100])).problems[0]).toMatchObject({
      column: 2,
      found: "49.95 %",
      expected: "50 %",
      effect: "0.05 points",
    });
    expect(shares(of([0, 50, 49.95, 100]))).toEqual([0.5, 0, 0.5]);
    expect(refusal(of([0, 50, 49.94, 100]))).toMatchObject({
      row: 4,
      column: 2,
      found: "49.94 % after 50 %",
      expected: "at least 50 %",
    });
    expect(refusal(of([0, 50, 49.94, 100]))?.message).toContain("falls by 0.06 points at row 4");
  });
  test("may stay level between two sizes, of which nothing is said", () => {
    expect(notes(of([0, 50, 50, 100]))).toEqual([]);
  });
  test("rises somewhere", () => {
    expect(refusal(of([100, 100, 100]))).toMatchObject({ row: null, column: 2, found: "100 % throughout" });
    expect(refusal(of([100, 100, 100]))?.message).toContain("stays at 100 % from the first size to the last");
    expect(refusal(of([0, 50, -1, 100]))).toMatchObject({ row: 4, column: 2, found: "-1" });
  });
  test("counts from the coarse end where the heading says oversize", () => {
    const m = read(of([95, 40, 10], "volume oversize %")).measurements[0]?.distribution;
    expect(m?.belowShare).toBeCloseTo(0.05, 14);
    expect(m?.shares).toEqual([expect.closeTo(0.55, 14), expect.closeTo(0.3, 14)]);
    expect(m?.aboveShare).toBeCloseTo(0.1, 14);
  });
});

describe("what the values are, where no word says it", () => {
  const of = (values: readonly number[], head = "volume %") =>
    `upper um,${head}\n${values.map((v, i) => `${2 ** i},${v}`).join("\n")}\n`;
  test("a whole is a class each, even where it only rises", () => {
    expect(how(of([10, 30, 60]), "values")).toBe("class, the values add to a whole");
    expect(how(of([10, 30, 60.7]), "values")).toBe("undersize, the values only rise with size");
    expect(how(of([10, 30, 59.3]), "values")).toBe("undersize, the values only rise with size");
  });
  test("what gets half way and only rises or falls is cumulative, a drop by rounding and all", () => {
    expect(how(of([10, 30, 50]), "values")).toBe("undersize, the values only rise with size");
    expect(how(of([50, 30, 10]), "values")).toBe("oversize, the values only fall with size");
    expect(how(of([10, 30, 49]), "values")).toBe("class, the values neither only rise nor only fall");
    expect(how(of([50, 49.95, 50.5]), "values")).toBe("undersize, the values only rise with size");
    expect(how(of([50, 49.9, 50.5]), "values")).toBe("class, the values neither only rise nor only fall");
    expect(how(of([50.5, 50.55, 20]), "values")).toBe("oversize, the values only fall with size");
    expect(how(of([50, 50, 50]), "values")).toBe("class, the values neither only rise nor only fall");
  });
  test("two values are a class each", () => {
    expect(how(of([10, 85]), "values")).toBe("class, the values neither only rise nor only fall");
  });
  test("fractions reach 1.005 at most", () => {
    expect(how(of([0.1, 0.5, 1.005], "volume"), "scale")).toBe("fraction, the values reach about 1");
    expect(how(of([0.1, 0.5, 1.02], "volume"), "values")).toBe(
      "class, the values neither only rise nor only fall",
    );
    expect(how(of([10, 30, 60], "volume"), "scale")).toBe("percent, the values add to about 100");
    expect(how(of([10, 50, 98], "volume"), "scale")).toBe("percent, the values reach 98");
    expect(how(of([0.1, 0.3, 0.6], "volume"), "scale")).toBe("fraction, the values add to about 1");
  });
});

describe("words against numbers are asked", () => {
  const asked = (values: readonly number[], head: string) =>
    read(`upper um,volume ${head} %\n${values.map((v, i) => `${2 ** i},${v}`).join("\n")}\n`).problems.find(
      (p) => p.severity === "question",
    );
  test("undersize that falls, oversize that rises", () => {
    expect(asked([100, 60, 10], "undersize")).toMatchObject({
      message: expect.stringContaining("the whole column falls as sizes rise"),
      // Half lies between 2 and 4 µm, where the oversize goes from 60 to 10 %: 2·2^(10/50).
      choices: [{ option: "values", value: "oversize", d50Um: expect.closeTo(2 * 2 ** 0.2, 10) }],
      found: "volume undersize %",
    });
    expect(asked([0, 40, 90], "oversize")).toMatchObject({
      message: expect.stringContaining("the whole column rises with size"),
      choices: [{ value: "undersize", d50Um: expect.closeTo(2 * 2 ** 0.2, 10) }],
    });
    expect(asked([0, 40, 90], "undersize")).toBeUndefined();
    expect(asked([100, 60, 10], "oversize")).toBeUndefined();
  });
  test("cumulative values that only add to a whole", () => {
    expect(asked([20, 50, 30], "undersize")).toMatchObject({
      message: expect.stringContaining("The heading speaks of undersize, but the values neither only rise"),
      choices: [{ value: "class" }],
    });
  });
  test("class shares that run up to a whole", () => {
    expect(asked([10, 60, 100], "in class")).toMatchObject({
      message: expect.stringContaining("run as undersize does and do not add to a whole"),
      choices: [{ value: "undersize" }],
    });
    for (const last of [99.4, 100.6])
      expect(asked([10, 60, last], "in class")).toMatchObject({ choices: [{ value: "undersize" }] });
    for (const last of [99.37, 100.63]) expect(asked([10, 60, last], "in class")).toBeUndefined();
    const { problems } = read("upper um,volume fraction in class\n1,0.1\n2,0.6\n4,1\n");
    expect(problems).toMatchObject([{ severity: "question", choices: [{ value: "undersize" }] }]);
  });
  test("per cent that reach 1 only", () => {
    expect(asked([0.1, 0.6, 1], "undersize")).toMatchObject({
      message: expect.stringContaining("but the cumulative values reach 1 only"),
      found: "1",
      choices: [
        { option: "scale", value: "fraction" },
        { option: "scale", value: "percent" },
      ],
    });
    expect(asked([0.1, 0.6, 1.005], "undersize")).toBeDefined();
    expect(asked([0.1, 0.6, 1.006], "undersize")).toBeUndefined();
    expect(asked([0.1, 0.2, 0.5], "undersize")).toBeUndefined();
  });
});

describe("densities", () => {
  const of = (values: readonly number[], head: string) =>
    `${edges},${head}\n${values.map((v, i) => `${2 ** i},${2 ** (i + 1)},${v}`).join("\n")}\n`;
  test("per µm, per nm, per ln and per decade, each by its definition", () => {
    // 20, 60 and 20 % in classes of 1, 2 and 4 µm.
    const q = [0.2, 0.3, 0.05];
    const expected = [0.2, 0.6, 0.2].map((v) => expect.closeTo(v, 12));
    expect(shares(of(q, "volume density 1/um"))).toEqual(expected);
    expect(
      shares(
        of(
          q.map((v) => v / 1000),
          "volume density 1/nm",
        ),
      ),
    ).toEqual(expected);
    expect(
      shares(
        of(
          q.map((v) => 100 * v),
          "volume density %/um",
        ),
      ),
    ).toEqual(expected);
    expect(
      shares(
        of(
          [0.2, 0.6, 0.2].map((v) => v / Math.LN2),
          "volume per ln",
        ),
      ),
    ).toEqual(expected);
    expect(
      shares(
        of(
          [0.2, 0.6, 0.2].map((v) => v / Math.log10(2)),
          "volume per decade",
        ),
      ),
    ).toEqual(expected);
  });
  test("integrate to a whole within 2 %, and are divided by it", () => {
    expect(notes(of([0.2, 0.3, 0.0545], "volume density 1/um"))).toEqual([
      "Read as a density per unit of size: with the class widths it integrates to 1.018, about 1; shares were divided by that.",
    ]);
    expect(read(of([0.2, 0.3, 0.0545], "volume density 1/um")).problems[0]?.effect).toBe(
      "every share times 0.9823",
    );
    expect(read(of([20, 30, 5.45], "volume density 1/um")).problems[0]).toMatchObject({
      message: expect.stringContaining("integrates to 101.8, about 100 %"),
      effect: "every share times 0.9823",
    });
    // (20 + 2·30 + 4·q) per cent: 98.2 and 101.8 are near enough, 97.8 is not.
    for (const q of [4.55, 5.45]) expect(refusal(of([20, 30, q], "volume density 1/um"))).toBeUndefined();
    expect(refusal(of([20, 30, 4.45], "volume density 1/um"))).toBeDefined();
    expect(refusal(of([0.2, 0.3, 0.0555], "volume per ln"))).toMatchObject({
      // (0.2 + 0.3 + 0.0555)·ln 2
      message: expect.stringContaining("it gives 0.385 per ln size."),
      column: 3,
      expected: "1 or 100 within 2 %",
    });
  });
  // Amounts integrate to a whole by chance too.
  test("that no word names are asked about, up to 1.5 % from a whole; where classes are alike, amounts come to the same", () => {
    const whole = [0.2, 0.6, 0.2];
    const alike = (factor: number) =>
      of(
        whole.map((v) => (factor * v) / Math.LN2),
        "volume",
      );
    expect(question(alike(1.005))?.choices?.map(({ value }) => value)).toEqual(["amount"]);
    for (const answer of [{ values: "density-ln" }, { scale: "amount" }] as const)
      expect(shares(alike(1.005), answer)).toEqual(whole.map((v) => expect.closeTo(v, 12)));
    // 1 to 2, 2 to 4 and 4 to 32 µm: one, one and three doublings.
    const unlike = (factor: number) =>
      ["lower_um,upper_um,volume", "1,2,0.2", "2,4,0.6", "4,32,0.2"]
        .map((line, k) => {
          const doublings = [1, 1, 3][k - 1];
          const [lower, upper, share] = line.split(",");
          return doublings === undefined
            ? line
            : `${lower},${upper},${(factor * Number(share)) / (doublings * Math.LN2)}`;
        })
        .join("\n");
    expect(question(unlike(1.014))?.choices?.map(({ value }) => value)).toEqual(["density-ln", "amount"]);
    expect(question(unlike(1.017))?.choices?.map(({ value }) => value)).toEqual(["amount"]);
  });
  test("are never negative", () => {
    expect(refusal(of([0.2, 0.4, -0.05], "volume density 1/um"))).toMatchObject({
      row: 4,
      column: 3,
      found: "-0.05",
      message: expect.stringContaining("Row 4, column 3: a density cannot be negative"),
    });
    // Nor in the finest class, where the whole is 1 all the same: −0.05·1 + 0.425·2 + 0.05·4.
    expect(refusal(of([-0.05, 0.425, 0.05], "volume density 1/um"))).toMatchObject({
      row: 2,
      column: 3,
      found: "-0.05",
      message: expect.stringContaining("Row 2, column 3: a density cannot be negative"),
    });
  });
  test("asked for as one kind are that kind or none", () => {
    // Fits per µm only: 0.2·1 + 0.3·2 + 0.05·4.
    expect(refusal(of([0.2, 0.3, 0.05], "volume"), { values: "density-ln" })?.message).toContain(
      "it gives 0.3812 per ln size.",
    );
    expect(shares(of([0.2, 0.3, 0.05], "volume"), { values: "density" })).toEqual(
      [0.2, 0.6, 0.2].map((v) => expect.closeTo(v, 12)),
    );
  });
});

describe("columns that follow from the others", () => {
  const table = (rows: string) => `size_um,volume %,cumulative volume %\n${rows}`;
  const edgeOf = (rows: string) => how(table(rows), "edge");
  test("a running sum tells the edge its sizes are, rising and falling", () => {
    expect(edgeOf("1,20,20\n2,60,80\n4,20,100\n")).toMatch(/^upper/);
    expect(edgeOf("1,20,0\n2,60,20\n4,20,80\n")).toMatch(/^lower/);
    expect(edgeOf("4,20,100\n2,60,80\n1,20,20\n")).toMatch(/^upper/);
    expect(edgeOf("4,20,80\n2,60,20\n1,20,0\n")).toMatch(/^lower/);
    const over = (rows: string) => how(`size_um,volume %,oversize volume %\n${rows}`, "edge");
    expect(over("1,20,80\n2,60,20\n4,20,0\n")).toMatch(/^upper/);
    expect(over("1,20,100\n2,60,80\n4,20,20\n")).toMatch(/^lower/);
    expect(over("4,20,0\n2,60,20\n1,20,80\n")).toMatch(/^upper/);
    expect(over("4,20,20\n2,60,80\n1,20,100\n")).toMatch(/^lower/);
  });
  test("within 0.6 % of the whole", () => {
    const names = (rows: string) => read(table(rows), { edge: "upper" }).measurements.map((m) => m.name);
    expect(names("1,20,20.5\n2,60,80\n4,20,100\n")).toEqual(["volume %"]);
    expect(names("1,20,20.7\n2,60,80\n4,20,100\n")).toEqual(["volume %", "cumulative volume %"]);
  });
  test("a spread is no measurement, a mean of two others neither", () => {
    const text = `${edges},run1 vol %,run2 vol %,mean,std dev\n1,2,20,22,21,1.4\n2,4,80,78,79,1.4\n`;
    expect(read(text).problems.map((p) => [p.message, p.column])).toEqual([
      ['Column "mean" equals the average of 2 others and was left out of the runs.', 5],
      ['Column "std dev" is a spread of the others, not a measurement, and was left out.', 6],
    ]);
  });
});

describe("classes", () => {
  test("of which two are needed", () => {
    for (const text of [`${edges},volume %\n1,2,100\n`, "size um,volume undersize %\n1,100\n"])
      expect(refusal(text)).toMatchObject({ found: "one class", expected: "two classes or more" });
  });
  test("meet within 5 % of the narrower one", () => {
    // The gap from 2 to 2.05 is 5 % of a class that is 1 µm wide.
    expect(refusal(`${edges},volume %\n1,2,50\n2.05,4,50\n`)).toBeUndefined();
    expect(refusal(`${edges},volume %\n1,2,50\n2.06,4,50\n`)).toMatchObject({ row: 3 });
  });
  test("in two columns without words are edges where they meet within 1 %", () => {
    // 2 lies 1 % of 2.02 below 2.02.
    const names = (end: number) =>
      read(`a,b,lot\n1,${end},20\n2,4,60\n4,8,20\n`, { quantity: "volume" }).measurements.map((m) => m.name);
    expect(names(2.02)).toEqual(["lot"]);
    expect(names(2.021)).not.toEqual(["lot"]);
  });
  test("beside a size that closes them", () => {
    const text = "size um,volume %\n1,20\n2,60\n4,20\n8,\n";
    expect(how(text, "edge")).toBe("lower, 8 µm stands without a value at the coarse end");
    expect(read(text).measurements[0]?.distribution.upperUm).toEqual([2, 4, 8]);
    const fine = "size um,volume %\n1,\n2,20\n4,60\n8,20\n";
    expect(how(fine, "edge")).toBe("upper, 1 µm stands without a value at the fine end");
    expect(read(fine).measurements[0]?.distribution.lowerUm).toEqual([1, 2, 4]);
    // Turned round they close the same classes.
    const falling = "size um,volume %\n8,\n4,20\n2,60\n1,20\n";
    expect(read(falling).measurements[0]?.distribution.upperUm).toEqual([2, 4, 8]);
    // Where the others are the whole, nothing was found in a hole; else that is asked.
    expect(shares("size um,volume %\n1,20\n2,\n4,80\n", { edge: "upper" })).toEqual([0.2, 0, 0.8]);
    expect(shares("size um,volume %\n1,20\n2,60\n4,20\n8,\n", { edge: "upper" })).toEqual([0.2, 0.6, 0.2, 0]);
    expect(question("size um,volume %\n1,20\n2,60\n4,\n", { edge: "lower" })).toMatchObject({
      row: 4,
      column: 2,
      choices: [{ option: "empty", value: "zero" }],
    });
    // A blank beside a share of nothing may be one too: then the edge stays open.
    expect(question("size um,volume %\n1,20\n2,80\n4,0\n8,\n")).toMatchObject({
      choices: [{ option: "edge" }, {}, {}, {}],
    });
  });
  test("an open finest class alone tells the edge; ends that meet none leave it open", () => {
    const of = (rows: string) => `size um,volume %\n${rows}`;
    expect(how(of("<1,10\n1,20\n2,50\n4,20\n"), "edge")).toBe("lower, only this fits the table");
    expect(how(of("<1,10\n2,20\n4,50\n8,20\n"), "edge")).toBe("upper, only this fits the table");
    const { problems } = read(of("<0.1,10\n2,20\n4,50\n8,10\n>50,10\n"));
    expect(problems.map((p) => [p.severity, p.expected])).toEqual([
      ["question", "lower, upper, geometric-mid, arithmetic-mid"],
    ]);
  });
  test("with open ends must meet them within 3 %", () => {
    const d = read("size um,volume %\n<1,10\n2,30\n4,40\n>4,20\n").measurements[0]?.distribution;
    expect(d?.lowerUm).toEqual([1, 2]);
    expect(d?.upperUm).toEqual([2, 4]);
    expect([d?.belowShare, d?.aboveShare]).toEqual([expect.closeTo(0.1, 14), expect.closeTo(0.2, 14)]);
    const mids = read("geometric mid um,volume %\n<1,10\n1.4142,30\n2.8284,40\n>4,20\n").measurements[0]
      ?.distribution;
    expect(mids?.lowerUm[0]).toBeCloseTo(1, 4);
    expect(mids?.upperUm.at(-1)).toBeCloseTo(4, 4);
  });
});
