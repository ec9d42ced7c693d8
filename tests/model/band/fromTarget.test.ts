import { expect, test } from "vitest";
import { bandFromTarget } from "../../../model/band/fromTarget.ts";

const of = { name: "customer", stage: "re-fired", densityGPerCm3: 4.55 };
const rows = (text: string, tolerancePercent: number | null = null) =>
  bandFromTarget(text, of, { tolerancePercent }).band?.rows.map(({ limit, sizeUm, low, high }) => [
    sizeUm === undefined ? limit : `${limit} ${sizeUm}`,
    low,
    high,
  ]);

// The same target in the shapes in which customers send one; common practice, no source.
test("a target is a band in every shape it comes in", () => {
  const wanted = [
    ["d10Um", 1.5, null],
    ["d50Um", 2.9, 3.3],
    ["d90Um", null, 6],
  ];
  expect(rows("D10 ≥ 1.5 µm\nD50 3.1 ± 0.2 µm\nD90 max. 6,0 µm")).toEqual(wanted);
  expect(rows("x10 at least 1500 nm\nd(0.5): 2.9 – 3.3 µm\nDv,90 < 6")).toEqual(wanted);
  expect(rows("Property\tLower\tUpper\nD10\t1.5\t\nD50\t2.9\t3.3\nD90\t\t6.0")).toEqual(wanted);
  expect(rows("\tD10 (µm)\tD50 (µm)\tD90 (µm)\nmin\t1.5\t2.9\t\nmax\t\t3.3\t6.0")).toEqual(wanted);
  expect(rows("D10 min 1.5\nD50 from 2.9 to 3.3\nD90 up to 6")).toEqual(wanted);
  expect(rows("below 1 µm ≤ 3 %\nabove 20 µm < 0.1 %\nspan ≤ 1.2")).toEqual([
    ["belowShare 1", null, 0.03],
    ["aboveShare 20", null, 0.001],
    ["span", null, 1.2],
  ]);
});

test("what a target leaves open is said, and a bare value limits nothing until a tolerance is agreed", () => {
  const { band, open } = bandFromTarget("D50 3.1 µm\nD90 ≤ 6 µm\nBET 1.1–1.3 m²/g", { ...of, stage: "" });
  expect(band?.rows.map(({ limit }) => limit)).toEqual(["d90Um"]);
  expect(band?.betM2PerG).toEqual({ low: 1.1, high: 1.3 });
  expect(open).toEqual(
    expect.arrayContaining([
      "D50 is given as 3.1 without a tolerance, and limits nothing until one is agreed.",
      "D90 has no lower limit.",
      "The fine end is open: nothing limits D10 or the share below a size.",
      "The curve between these sizes is not limited.",
      "It does not say of which stage the powder is.",
    ]),
  );
  expect(rows("D10;D50;D90\n1.6;3.1;5.5", 10)).toEqual([
    ["d10Um", 1.44, 1.76],
    ["d50Um", 2.79, 3.41],
    ["d90Um", 4.95, 6.05],
  ]);
  const bad = bandFromTarget("D50 3.1 ± 0.2\nflow 12 s\nD50 2 ± 1", of);
  expect(bad.problems.map(({ row }) => row)).toEqual([2, 3]);
  expect(bandFromTarget("white powder", of).problems[0]?.message).toMatch(/No limit was found/);
});
