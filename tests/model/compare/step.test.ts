import { describe, expect, test } from "vitest";
import { noiseFloorOf } from "#model/compare/against.ts";
import { stageChangeOf } from "#model/compare/step.ts";
import { run } from "../plainPowders.ts";

describe("a step between stages", () => {
  const before = [0.2, 0.25, 0.3].map((q) => run([q, 1 - q]));
  const after = [0.6, 0.65, 0.7].map((q) => run([q, 1 - q]));
  const step = stageChangeOf(before, after, {
    percents: [50],
    belowUm: [2, 9],
    densityGPerCm3: 4.5,
    grams: [200, 100],
    level: 0.95,
  });
  test("points, grams and ratios are those of the mean curves", () => {
    // Of the means 0.25 and 0.65: D50 is 2·2^(1/3) and 2^(1/1.3).
    expect(step.percentileRatios["50"]?.value).toBeCloseTo(2 ** (1 / 1.3) / (2 * 2 ** (1 / 3)), 9);
    expect(step.fines[0]?.points.value).toBeCloseTo(40, 9);
    expect(step.fines[0]?.grams).toMatchObject({
      before: expect.closeTo(50, 9),
      after: expect.closeTo(65, 9),
      change: { value: expect.closeTo(15, 9) },
    });
    expect(step.maxGapPoints).toBeCloseTo(40, 9);
    expect(step.atUm).toBe(2);
    // ∫(F − G) d ln x: a triangle of 0.4 over two octaves.
    expect(step.meanShiftPercent.value).toBeCloseTo(100 * Math.expm1(-0.4 * Math.LN2), 9);
    expect(step.shiftPercent).toBeCloseTo(100 * Math.expm1(0.4 * Math.LN2), 9);
    expect(step.crosses).toBe(false);
  });
  test("the points' interval is Welch's over the runs: 40 ± t(0.975; 4)·100·√(2·0.0025/3) (t 2.776 from tables)", () => {
    const reach = 2.776445 * 100 * Math.sqrt((2 * 0.0025) / 3);
    expect(step.fines[0]?.points.interval?.low).toBeCloseTo(40 - reach, 4);
    expect(step.fines[0]?.points.interval?.high).toBeCloseTo(40 + reach, 4);
  });
  test("the noise is the run farthest from the mean of the others", () => {
    // 0.2 against 0.275: 7.5 points.
    expect(noiseFloorOf(before)?.maxGapPoints).toBeCloseTo(7.5, 9);
    // A triangle of 0.075 over two octaves, and what the two densities share.
    expect(noiseFloorOf(before)?.shiftPercent).toBeCloseTo(100 * Math.expm1(0.075 * Math.LN2), 9);
    expect(noiseFloorOf(before)?.leastOverlap).toBeCloseTo(0.925, 9);
    expect(noiseFloorOf(before.slice(0, 1))).toBeNull();
    expect(step.noisePoints).toBeCloseTo(7.5, 9);
  });
  test("curves cross where a twentieth of the shift goes the other way", () => {
    const crosses = (a: readonly number[], b: readonly number[]) =>
      stageChangeOf([run(a)], [run(b)], {
        percents: [],
        belowUm: [],
        densityGPerCm3: null,
        grams: null,
        level: 0.95,
      }).crosses;
    expect(crosses([0.25, 0.5, 0.25], [0.3, 0.35, 0.35])).toBe(true);
    expect(crosses([0.25, 0.5, 0.25], [0.3, 0.5, 0.2])).toBe(false);
    expect(crosses([0.25, 0.5, 0.25], [0.25, 0.5, 0.25])).toBe(false);
  });
});
