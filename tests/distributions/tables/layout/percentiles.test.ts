import { describe, expect, test } from "vitest";
import { readTable } from "#distributions/tables/readTable.ts";

const read = (text: string) => readTable(text, "lot.csv", { quantity: "volume" });
const percents = [5, 10, 20, 30, 40, 50, 60, 70, 80, 90];
const sizes = [0.8, 1, 1.3, 1.5, 1.8, 2, 2.3, 2.6, 3, 4];

describe("ten percentiles in order are a curve", () => {
  const asCurve = (text: string) => {
    const { measurements, problems } = read(text);
    return { m: measurements[0], all: measurements, problems };
  };
  const expectCurve = (m: ReturnType<typeof asCurve>["m"]) => {
    expect(m?.distribution.lowerUm).toEqual(sizes.slice(0, -1));
    expect(m?.distribution.upperUm).toEqual(sizes.slice(1));
    expect(m?.distribution.belowShare).toBeCloseTo(0.05, 14);
    expect(m?.distribution.aboveShare).toBeCloseTo(0.1, 14);
    expect(m?.distribution.shares).toEqual([
      expect.closeTo(0.05, 14),
      ...Array.from({ length: 8 }, () => expect.closeTo(0.1, 14)),
    ]);
  };
  test("down a column", () => {
    const rows = percents.map((p, i) => `D${p},${sizes[i]}`).join("\n");
    const { m, problems } = asCurve(`percentile,host um\n${rows}\n`);
    expectCurve(m);
    expect(m?.name).toBe("host um");
    expect(problems.map((p) => p.message)).toContain(
      "10 percentiles were read as the undersize curve through them.",
    );
    expect(problems.filter((p) => p.severity === "refused")).toEqual([]);
  });
  test("a question about the curve stands at its first size", () => {
    const rows = percents.map((p, i) => `D${p},${sizes[i]}`).join("\n");
    const { problems } = readTable(`percentile,host um\n${rows}\n`, null, {});
    expect(problems.find((p) => p.severity === "question")).toMatchObject({ row: 2, column: 2 });
  });
  test("two lots down, with a decimal comma", () => {
    const write = (v: number) => String(v).replace(".", ",");
    const rows = percents
      .map((p, i) => `D${p};${write(sizes[i] ?? 0)};${write(2 * (sizes[i] ?? 0))}`)
      .join("\n");
    const { all } = asCurve(`percentile;A um;B um\n${rows}\n`);
    expectCurve(all[0]);
    expect(all.map((m) => m.name)).toEqual(["A um", "B um"]);
    expect(all[1]?.distribution.lowerUm).toEqual(sizes.slice(0, -1).map((v) => 2 * v));
  });
  test("along a row, the lot's name before them", () => {
    const { m } = asCurve(`lot,${percents.map((p) => `D${p} (um)`).join(",")}\nhost 7,${sizes.join(",")}\n`);
    expectCurve(m);
    expect(m?.name).toBe("host 7");
  });
  test("one a line with decimal commas and semicolons, three are known to be percentiles and no curve", () => {
    for (const [comma, text] of [
      ["1,2", "D10;1,2\nD50;2,8\nD90;5,1\n"],
      ["1.2", "D10;1.2\nD50;2.8\nD90;5.1\n"],
      ["1,2", "D10 (µm);1,2\nD50 (µm);2,8\nD90 (µm);5,1\n"],
    ] as const) {
      const { measurements, problems } = read(text);
      expect(measurements).toEqual([]);
      const [first] = problems;
      expect(first?.message).toMatch(
        /only 3 percentiles, and percentiles alone are no curve.* the span 1\.39/,
      );
      expect(first?.found).toContain(`D10 ${comma}`);
    }
  });
  test("a percentile may have a decimal of either mark", () => {
    const list = [2.5, ...percents.slice(1, -1), 97.5];
    for (const [mark, separator] of [
      [".", ","],
      [",", ";"],
    ] as const) {
      const write = (v: number) => String(v).replace(".", mark);
      const rows = list.map((p, i) => `D${write(p)}${separator}${write(sizes[i] ?? 0)}`).join("\n");
      const { m } = asCurve(`percentile${separator}host um\n${rows}\n`);
      expect(m?.distribution.belowShare).toBeCloseTo(0.025, 14);
      expect(m?.distribution.aboveShare).toBeCloseTo(0.025, 14);
    }
  });
  test("nine are none", () => {
    const rows = percents.slice(1).map((p, i) => `D${p},${sizes[i + 1]}`);
    const { all, problems } = asCurve(`percentile,host um\n${rows.join("\n")}\n`);
    expect(all).toEqual([]);
    expect(problems[0]?.message).toMatch(/^Row 2: only 9 percentiles, .* or at least 10 percentiles\.$/);
  });
});

describe("fewer are named with their place", () => {
  test("down a column: each list at its first size", () => {
    const { problems } = read("lot,A um,B um\nD10,1,2\nD50,2,4\nD90,4,9\n");
    expect(problems.map((p) => [p.measurement, p.row, p.column])).toEqual([
      ["A um", 2, 2],
      ["B um", 2, 3],
    ]);
    // (4 − 1)/2 and (9 − 2)/4.
    expect(problems[0]?.message).toContain("Known are D10 1, D50 2, D90 4 um and the span 1.5; the curve");
    expect(problems[1]?.message).toContain("Known are D10 2, D50 4, D90 9 um and the span 1.75; the curve");
    expect(problems[0]?.found).toBe("D10 1, D50 2, D90 4");
  });
  test("along a row: each lot at its first size", () => {
    const { problems } = read("remark\nlot,D10,D50,D90\nA,1,2,4\nB,2,4,9\n");
    expect(problems.map((p) => [p.measurement, p.row, p.column])).toEqual([
      ["A", 3, 2],
      ["B", 4, 2],
    ]);
    expect(problems[1]?.message).toContain("Known are D10 2, D50 4, D90 9 and the span 1.75; the curve");
  });
  test("two down a column are named as well", () => {
    expect(read("lot,A um\nD10,1\nD90,4\n").problems[0]?.found).toBe("D10 1, D90 4");
  });
  test("without all three there is no span", () => {
    const message = read("lot,D10 um,D50 um\nA,1,2\n").problems[0]?.message;
    expect(message).toContain("only 2 percentiles");
    expect(message).not.toContain("span");
  });
  test("a lone percentile is none, and a cell without a size is left out", () => {
    expect(read("lot,D10 um,D50 um,D90 um\nA,1,-,4\n").problems[0]?.found).toBe("D10 1, D90 4");
    expect(read("lot,D50 um\nA,2\n").problems[0]?.message).not.toMatch(/percentiles/);
  });
  test("a zero median gives no span", () => {
    expect(read("lot,D10 um,D50 um,D90 um\nA,0,0,4\n").problems[0]?.message).not.toContain("span");
  });
});

test("percentiles in a later column are found where the first names them without sizes", () => {
  const text = "D10,x\nD50,y\n,D10,1\n,D50,2\n,D90,4\n,D99,8\n,D5,.5\n,D25,1.5\n,D75,3\n";
  expect(readTable(text, "lot.csv", {}).problems[0]?.message).toMatch(/^Row 3: only 7 percentiles/);
});
