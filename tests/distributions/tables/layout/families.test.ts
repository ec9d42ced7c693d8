import { expect, test } from "vitest";
import { readTable } from "#distributions/tables/readTable.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";

// Families of tables that were misread or refused once, each as small as it still shows it. Every expectation is what a person
// sees in the text.
const shares = [2, 8, 20, 40, 20, 8, 2];
const sizes = [1, 2, 4, 8, 16, 32, 64, 128];
const sums = [2, 10, 30, 70, 90, 98, 100];
const rows = (of: (i: number) => string, count = shares.length) =>
  Array.from({ length: count }, (_, i) => of(i)).join("\n");
const read = (text: string, options: ReadingOptions = {}) => {
  const { measurements, problems } = readTable(text, "lot.csv", options);
  return {
    names: measurements.map(({ name }) => name),
    shares: measurements.map(({ distribution: d }) => d.shares.map((s) => Math.round(100 * s)).join(" ")),
    first: measurements.map(({ distribution: d }) => d.lowerUm[0]),
    quantities: measurements.map(({ distribution: d }) => d.quantity),
    asked: problems.filter((p) => p.severity === "question").map((p) => p.choices?.[0]?.option),
    refused: problems.filter((p) => p.severity === "refused").map((p) => p.message),
  };
};
const known = shares.join(" ");

test("tables of edges side by side, one shorter, under other words each", () => {
  const text = `lower edge um,upper edge um,A volume %,from um,to um,B volume %\n${rows((i) => {
    const right = i < 4 ? `${3 * 2 ** i},${6 * 2 ** i},25` : ",,";
    return `${sizes[i]},${sizes[i + 1]},${shares[i]},${right}`;
  })}\n`;
  expect(read(text)).toMatchObject({ shares: [known, "25 25 25 25"], first: [1, 3] });
});

test("a unit inside a sample's name makes no sizes of its values", () => {
  const text = `lower um,upper um,nm-7 under,mm 3 grumma\n${rows((i) => `${sizes[i]},${sizes[i + 1]},${sums[i]},${sums[i]}`)}\n`;
  expect(read(text, { quantity: "volume" }).names).toEqual(["nm-7 under", "mm 3 grumma"]);
});

test("counts beside sizes with a unit behind each, one sample below the other", () => {
  const sample = (name: string) =>
    rows((i) => `${name},${sizes[i]} um,${sizes[i + 1]} um,${100 * (shares[i] ?? 1)}`);
  const text = `sample,lower edge,upper edge,count\n${sample("A")}\n${sample("B")}\n`;
  expect(read(text, { scale: "amount" })).toMatchObject({
    names: ["A", "B"],
    shares: [known, known],
    quantities: ["number", "number"],
  });
});

test("a column that says the quantity in each row counts where there is one sample, and against a note is asked about", () => {
  const table = `sample,weighting,upper edge um,in class %\n${rows((i) => `K,number,${sizes[i + 1]},${shares[i]}`)}\n`;
  expect(read(table)).toMatchObject({ quantities: ["number"], asked: [] });
  expect(read(`shares by volume\n\n${table}`).asked).toEqual(["quantity"]);
});

test("mids under another word begin a table of their own beside a name that holds a unit", () => {
  const text = `mid um,A volume %,mid um,nm-7 volume %,midpoint um,C volume %\n${rows(
    (i) => `${sizes[i]},${shares[i]},${3 * 2 ** i},${shares[i]},${5 * 3 ** i},${shares[i]}`,
  )}\n`;
  expect(read(text, { edge: "geometric-mid" })).toMatchObject({ shares: [known, known, known] });
});

test("a name above values that stand before their sizes is theirs", () => {
  const text = `residue 9;;\nvolume in class %;volume cumulative undersize %;upper edge um\n${rows(
    (i) => `${shares[i]};${sums[i]};${sizes[i + 1]}`,
  )}\n`;
  expect(read(text).names).toEqual(["residue 9 volume in class %"]);
});

test("a second page goes on behind a first that starts with an open class, whatever stands before the sizes", () => {
  const head = "flag,diameter um,A volume in class %,B volume in class %";
  const line = (i: number) => {
    const range = i === 0 ? "<2" : `${sizes[i]}~${sizes[i + 1]}`;
    return `0,${range},${shares[i]},${shares[6 - i]}`;
  };
  const text = `${head}\n${[0, 1, 2, 3].map(line).join("\n")}\n\n${head}\n${[4, 5, 6].map(line).join("\n")}\n`;
  expect(read(text).names).toEqual(["A volume in class %", "B volume in class %"]);
});

test("sizes with a unit behind each may stand behind the shares", () => {
  const text = `volume in class %;upper edge\n${rows((i) => `${shares[i]};${sizes[i + 1]} um`)}\n`;
  expect(read(text).shares).toEqual([known]);
});

test("a word for another quantity before the only column is asked about beside a note; a numbered name is not", () => {
  const text = (heading: string) =>
    `shares by volume\n\nlower um,upper um,${heading}\n${rows((i) => `${sizes[i]},${sizes[i + 1]},${shares[i]}`)}\n`;
  expect(read(text("count grumma %")).asked).toEqual(["quantity"]);
  expect(read(text("count 12 %"))).toMatchObject({ quantities: ["volume"], asked: [] });
});

test("a word for an edge counts beside a unit that is not known", () => {
  for (const head of ["upper edge Å", "bis (a.u.)", "上限 / Å"]) {
    const text = `${head};volume in class %\n${rows((i) => `${sizes[i + 1]};${shares[i]}`)}\n`;
    expect(read(text).asked, head).toEqual(["unit"]);
    expect(read(text, { unit: "um" }).shares, head).toEqual([known]);
  }
});

const rising = [0, ...sums];

test("units in a row of their own below sizes across are the sizes' units, each its own where they differ", () => {
  const across = (units: readonly string[]) =>
    `volume undersize %\nsample,${sizes.join(",")}\n,${units.join(",")}\nlot A,${rising.join(",")}\n`;
  const each = (unit: string) => sizes.map(() => unit);
  expect(read(across(each("(nm)"))).first[0]).toBeCloseTo(0.001, 9);
  expect(read(across(["nm"])).first[0]).toBeCloseTo(0.001, 9);
  expect(read(across(each("Å"))).asked).toEqual(["unit"]);
  const mixed = `volume undersize %\nsample,200,400,800,900,1000\n,nm,nm,nm,um,um\nlot A,0,30,70,90,100\n`;
  expect(read(mixed).first[0]).toBeCloseTo(0.2, 6);
});

test("a list on two pages is one curve, whatever stands between", () => {
  const page = (from: number, to: number) =>
    rising
      .slice(from, to)
      .map((q, i) => `${sizes[from + i]},${q}`)
      .join("\n");
  const head = "size um,volume undersize %";
  for (const between of ["Seite 1 / 2", "- 2 -", "report 17 goes on", "第2页"])
    expect(read(`${head}\n${page(0, 3)}\n${between}\n${head}\n${page(3, 8)}\n`).shares).toEqual([known]);
});

test("tables below each other under the same headings go by the line above each", () => {
  const table = `lower um,upper um,volume %\n${rows((i) => `${sizes[i]},${sizes[i + 1]},${shares[i]}`)}\n`;
  const names = (text: string) => read(text).names;
  expect(names(`試料: 甲\ndate: 2026-03-04\n${table}\n試料: 乙\ndate: 2026-03-04\n${table}`)).toEqual([
    "甲",
    "乙",
  ]);
  expect(names(`bag 4\n${table}\nbag 5\n${table}`)).toEqual(["bag 4", "bag 5"]);
  expect(names(`D50: 3.1 um\n${table}\nD50: 3.2 um\n${table}`)).toEqual(["volume %", "volume % (2)"]);
});

test("phi falls where sizes rise: the sum beside the shares shows the upper edge", () => {
  const text = `phi,mass %,cumulative %\n${rows((i) => `${Math.log2(1000) - Math.log2(sizes[i + 1] ?? 1)},${shares[i]},${sums[i]}`)}\n`;
  const { lowerUm } = readTable(text, "lot.csv", {}).measurements[0]?.distribution ?? {};
  expect(lowerUm?.at(-1)).toBeCloseTo(64, 3);
});

test("a density is the same measurement as the sum beside it, whichever way the rows run", () => {
  const line = (i: number) => `${sizes[i]},${sizes[i + 1]},${(shares[i] ?? 0) / Math.log10(2)},${sums[i]}`;
  const down = Array.from({ length: 7 }, (_, i) => line(i));
  for (const lines of [down, down.toReversed()])
    expect(read(`lower um,upper um,dV/dlogD,Q3 %\n${lines.join("\n")}\n`)).toMatchObject({
      names: ["Q3 %"],
      // What lies below the first of its edges is a class of its own.
      shares: [shares.slice(1).join(" ")],
      asked: [],
    });
});

test("a mean and its scatter before the runs are none, under any name or none", () => {
  const runs = [0, 1, 2].map((k) => shares.map((s, i) => s + k * ([0, 1, 2, 0, -2, -1, 0][i] ?? 0)));
  const of = (i: number) => runs.map((run) => run[i] ?? 0);
  const mean = (i: number) => of(i).reduce((a, b) => a + b, 0) / 3;
  const sd = (i: number) => Math.sqrt(of(i).reduce((sum, v) => sum + (v - mean(i)) ** 2, 0) / 2);
  const text = `by volume, % in class\nlower um,upper um,,ka,run 1,run 2,run 3\n${rows(
    (i) =>
      `${sizes[i]},${sizes[i + 1]},${mean(i).toFixed(3)},${sd(i).toFixed(3)},${of(i)
        .map((v) => v.toFixed(3))
        .join(",")}`,
  )}\n`;
  expect(read(text).names).toEqual(["run 1", "run 2", "run 3"]);
});
