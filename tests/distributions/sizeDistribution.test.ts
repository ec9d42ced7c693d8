import { describe, expect, test } from "vitest";
import { curveOf, knownUndersizeAt, sizeAt, undersizeAt } from "#distributions/curve.ts";
import {
  convert,
  geometricSurface,
  meanDiameterUm,
  moment,
  standardDeviationUm,
} from "#distributions/moments.ts";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";

const two = sizeDistribution({ quantity: "volume", lowerUm: [1, 2], upperUm: [2, 4], shares: [0.5, 0.5] });

describe("a measured distribution", () => {
  test("its curve is straight in ln x inside a class", () => {
    expect(undersizeAt(curveOf(two), Math.SQRT2)).toBeCloseTo(0.25, 14);
    expect(sizeAt(curveOf(two), 0.75)).toBeCloseTo(2 * Math.SQRT2, 14);
  });

  test("a percentile in the unseen share is null, one in the classes counts it", () => {
    const open = sizeDistribution({
      quantity: "volume",
      lowerUm: [1],
      upperUm: [4],
      shares: [0.6],
      belowShare: 0.3,
      aboveShare: 0.1,
    });
    expect(sizeAt(curveOf(open), 0.2)).toBeNull();
    expect(sizeAt(curveOf(open), 0.95)).toBeNull();
    expect(sizeAt(curveOf(open), 0.6)).toBeCloseTo(2, 14);
    expect(knownUndersizeAt(curveOf(open), 0.5)).toBeNull();
  });

  test("means and conversion are refused above 0.0005 unseen; area is a lower bound", () => {
    const open = sizeDistribution({
      quantity: "volume",
      lowerUm: [1],
      upperUm: [2],
      shares: [0.999],
      belowShare: 0.001,
    });
    expect(meanDiameterUm(open, 4, 3)).toBeNull();
    expect(convert(open, "number")).toBeNull();
    expect(geometricSurface(open, 4)?.isLowerBound).toBe(true);
  });

  test.each([
    ["edges that fall", { lowerUm: [2, 1], upperUm: [3, 2], shares: [0.5, 0.5] }],
    ["a gap between classes", { lowerUm: [1, 3], upperUm: [2, 4], shares: [0.5, 0.5] }],
    ["a negative share", { lowerUm: [1, 2], upperUm: [2, 4], shares: [1.5, -0.5] }],
    ["shares that do not add to 1", { lowerUm: [1, 2], upperUm: [2, 4], shares: [0.5, 0.4] }],
    ["a size of zero", { lowerUm: [0, 2], upperUm: [2, 4], shares: [0.5, 0.5] }],
  ])("%s throws and names the rule", (_, input) => {
    expect(() => sizeDistribution({ quantity: "volume", ...input })).toThrow(/must/);
  });

  test("against the geometric mid, the log-uniform moment is larger by sinh(u)/u (algebra)", () => {
    const one = (inClass: "log-uniform" | "geometric-mid") =>
      moment(
        sizeDistribution({ quantity: "volume", inClass, lowerUm: [1], upperUm: [2], shares: [1] }),
        -1,
      ) ?? 0;
    const u = Math.LN2 / 2;
    expect(one("log-uniform") / one("geometric-mid")).toBeCloseTo(Math.sinh(u) / u, 14);
  });
});

describe("worked examples of textbooks, from memory", () => {
  test("Coulson & Richardson vol. 2 example 1.1: mass linear from 1 to 101 µm has a surface mean of 21.7 µm", () => {
    const m = sizeDistribution({
      quantity: "volume",
      inClass: "uniform",
      lowerUm: [1],
      upperUm: [101],
      shares: [1],
    });
    expect(meanDiameterUm(m, 3, 2)).toBeCloseTo(21.668, 3);
  });

  test("three spheres of 1, 2 and 3 µm: D10 2.00, D32 2.57, D43 2.72 (textbook commonplace)", () => {
    // Point sizes are classes of 0.002 % width that meet empty ones.
    const edges = [1, 1.00002, 2, 2.00004, 3, 3.00006];
    const m = sizeDistribution({
      quantity: "number",
      lowerUm: edges.slice(0, -1),
      upperUm: edges.slice(1),
      shares: [1 / 3, 0, 1 / 3, 0, 1 / 3],
    });
    expect(meanDiameterUm(m, 1, 0)).toBeCloseTo(2, 3);
    expect(meanDiameterUm(m, 3, 2)).toBeCloseTo(2.5714, 3);
    expect(meanDiameterUm(m, 4, 3)).toBeCloseTo(2.7222, 3);
  });

  test("ASTM E799 sample drops: D10 1459.4 and D32 2269.3 µm by class-integrated moments", () => {
    const edges = [240, 360, 450, 562.5, 703, 878, 1097, 1371, 1713, 2141, 2676, 3345, 4181, 5226, 6532];
    const counts = [65, 119, 232, 410, 629, 849, 990, 981, 825, 579, 297, 111, 21, 1];
    const n = counts.reduce((a, b) => a + b, 0);
    const m = sizeDistribution({
      quantity: "number",
      inClass: "uniform",
      lowerUm: edges.slice(0, -1),
      upperUm: edges.slice(1),
      shares: counts.map((c) => c / n),
    });
    expect(Math.abs((meanDiameterUm(m, 1, 0) ?? 0) - 1459.37)).toBeLessThan(0.1);
    expect(Math.abs((meanDiameterUm(m, 3, 2) ?? 0) - 2269.3)).toBeLessThan(0.1);
  });
});

test("the deviation of a uniform class is its width over √12 (textbook)", () => {
  const m = sizeDistribution({
    quantity: "number",
    inClass: "uniform",
    lowerUm: [1],
    upperUm: [4],
    shares: [1],
  });
  expect(standardDeviationUm(m)).toBeCloseTo(3 / Math.sqrt(12), 12);
});
