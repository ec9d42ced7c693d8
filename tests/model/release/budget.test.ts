import { describe, expect, test } from "vitest";
import { budgetOf, combined, instrumentContributions } from "#model/release/budget.ts";

describe("an uncertainty budget", () => {
  test("the end gauge of JCGM 100 H.1 (from memory): u 32 nm, 16 degrees, U99 93 nm", () => {
    const found = combined(
      [
        { uLn: 25, degrees: 18 },
        { uLn: 9.7, degrees: 25.6 },
        { uLn: 2.9, degrees: 50 },
        { uLn: 16.6, degrees: 2 },
      ],
      0.99,
    );
    expect(found.uLn).toBeCloseTo(32, 0);
    expect(found.degrees).toBe(16);
    expect(found.coverageFactor).toBeCloseTo(2.92, 2);
    expect(Math.round(found.expandedLn)).toBe(93);
  });
  test("one source without end of degrees: U is 1.96 u", () => {
    expect(combined([{ uLn: 1, degrees: null }], 0.95).expandedLn).toBeCloseTo(1.959964, 5);
  });
  test("checks: scatter, offset and the material's own, worked by hand", () => {
    const e = Math.exp;
    const check = (off: number) => ({ measured: 3 * e(off), stated: 3, statedU: 0.03 });
    const found = instrumentContributions([check(0.01), check(0.02), check(0.03)]);
    expect(found.map((c) => [c.source, c.degrees])).toEqual([
      ["instrument from day to day", 2],
      ["instrument's offset", null],
      ["reference material", null],
    ]);
    expect(found[0]?.uLn).toBeCloseTo(0.01 * Math.sqrt(4 / 3), 12);
    expect(found[1]?.uLn).toBeCloseTo(0.02, 12);
    expect(found[2]?.uLn).toBeCloseTo(0.01, 12);
    expect(instrumentContributions([check(0.01)])).toEqual([]);
  });
  const asked = {
    measurand: "areaM2PerG",
    value: 0.5,
    run: { sdLn: 0.02, degrees: 20, runs: 4 },
    portion: null,
    checks: [],
    opticalModel: 0.03,
    density: 0.004,
  } as const;
  test("what is not known is named, not taken for nought", () => {
    const found = budgetOf(asked);
    expect(found?.notKnown).toEqual(["portion", "instrument"]);
    expect(found?.uLn).toBeCloseTo(Math.hypot(0.01, 0.03, 0.004), 12);
    expect(found?.contributions.map((c) => c.source)).toEqual(["optical model", "run", "density"]);
    expect(found?.contributions.reduce((sum, c) => sum + c.share, 0)).toBeCloseTo(1, 12);
    expect((found?.low ?? 0) * (found?.high ?? 0)).toBeCloseTo(0.25, 12);
  });
  test("a size does not hang on the density", () => {
    const found = budgetOf({ ...asked, measurand: "d50Um", value: 3 });
    expect(found?.contributions.map((c) => c.source)).toEqual(["optical model", "run"]);
    expect(found?.notKnown).not.toContain("density");
  });
  test("nothing known, no budget", () => {
    expect(budgetOf({ ...asked, run: null, opticalModel: null, density: null })).toBeNull();
  });
});
