import { describe, expect, test } from "vitest";
import {
  curveOf,
  knownUndersizeAt,
  meanCurve,
  shifted,
  sizeAt,
  undersizeAt,
  unionOfEdges,
} from "#distributions/curve.ts";
import {
  orderShift,
  quantities,
  quantityOrder,
  sizeDistribution,
  unseenShare,
} from "#distributions/sizeDistribution.ts";

// Every expected value in this file is worked by hand.
const open = sizeDistribution({
  quantity: "volume",
  lowerUm: [1, 2],
  upperUm: [2, 8],
  shares: [0.3, 0.4],
  belowShare: 0.1,
  aboveShare: 0.2,
});
const closed = sizeDistribution({
  quantity: "volume",
  lowerUm: [1, 2],
  upperUm: [2, 8],
  shares: [0.25, 0.75],
});

describe("the undersize curve", () => {
  test("classes that do not quite meet share the geometric mean of their edges", () => {
    const m = sizeDistribution({
      quantity: "volume",
      lowerUm: [1, 2.02],
      upperUm: [2, 4],
      shares: [0.5, 0.5],
    });
    expect(curveOf(m).edgesUm).toEqual([1, Math.sqrt(2 * 2.02), 4]);
    expect(curveOf(closed).edgesUm).toEqual([1, 2, 8]);
  });
  test("it is level beyond the ends", () => {
    expect(undersizeAt(curveOf(open), 0.5)).toBe(0.1);
    expect(undersizeAt(curveOf(open), 1)).toBe(0.1);
    expect(undersizeAt(curveOf(open), 8)).toBe(0.8);
    expect(undersizeAt(curveOf(open), 9)).toBe(0.8);
    expect(undersizeAt(curveOf(closed), 20)).toBe(1);
  });
  test("at an edge it is what was measured there", () => {
    expect(undersizeAt(curveOf(closed), 2)).toBe(0.25);
    expect(undersizeAt(curveOf(closed), 4)).toBeCloseTo(0.625, 14);
  });
  test("beyond the edges a share is known only where nothing lies there", () => {
    expect(knownUndersizeAt(curveOf(open), 0.99)).toBeNull();
    expect(knownUndersizeAt(curveOf(open), 1)).toBe(0.1);
    expect(knownUndersizeAt(curveOf(open), 8)).toBeCloseTo(0.8, 14);
    expect(knownUndersizeAt(curveOf(open), 8.01)).toBeNull();
    expect(knownUndersizeAt(curveOf(closed), 0.5)).toBe(0);
    expect(knownUndersizeAt(curveOf(closed), 9)).toBe(1);
  });
  test("percentiles at and beyond the ends", () => {
    expect(sizeAt(curveOf(closed), 0)).toBe(1);
    expect(sizeAt(curveOf(closed), 1)).toBe(8);
    expect(sizeAt(curveOf(closed), 0.25)).toBe(2);
    expect(sizeAt(curveOf(open), 0.1)).toBe(1);
    expect(sizeAt(curveOf(open), 0.09)).toBeNull();
    expect(sizeAt(curveOf(open), 0.81)).toBeNull();
    expect(() => sizeAt(curveOf(open), -0.01)).toThrow(/fraction/);
    expect(() => sizeAt(curveOf(open), 1.01)).toThrow(/fraction/);
  });
  test("zero is read at the last edge with nothing below it", () => {
    const m = sizeDistribution({
      quantity: "volume",
      lowerUm: [1, 2, 4],
      upperUm: [2, 4, 8],
      shares: [0, 0, 1],
    });
    expect(sizeAt(curveOf(m), 0)).toBe(4);
    const empty = sizeDistribution({
      quantity: "volume",
      lowerUm: [1, 2],
      upperUm: [2, 4],
      shares: [0, 0],
      belowShare: 1,
    });
    expect(sizeAt(curveOf(empty), 1)).toBe(4);
  });
  test("a fraction where the curve is level is read at the geometric middle of the stretch, however it is stated", () => {
    const stated = (shares: readonly number[], lowerUm = [1, 2, 4], upperUm = [2, 4, 8]) =>
      sizeAt(curveOf(sizeDistribution({ quantity: "volume", lowerUm, upperUm, shares })), 0.5);
    expect(stated([0.5, 0, 0.5])).toBeCloseTo(Math.sqrt(8), 12);
    // As a table's rounding leaves it, and with the empty class in two.
    expect(stated([0.5 - 3e-10, 2e-10, 0.5 + 1e-10])).toBeCloseTo(Math.sqrt(8), 12);
    expect(stated([0.5 + 3e-10, 0, 0.5 - 3e-10])).toBeCloseTo(Math.sqrt(8), 12);
    expect(stated([0.5, 0, 0, 0.5], [1, 2, 3, 4], [2, 3, 4, 8])).toBeCloseTo(Math.sqrt(8), 12);
    // Turned round, coarse for fine, it is the same size.
    expect(stated([0.5, 0, 0.5], [1 / 8, 1 / 4, 1 / 2], [1 / 4, 1 / 2, 1])).toBeCloseTo(1 / Math.sqrt(8), 12);
    // More than that is no level stretch.
    expect(stated([0.49, 0.02, 0.49])).toBeCloseTo(Math.sqrt(8), 12);
    expect(stated([0.5, 1e-3, 0.499])).toBe(2);
  });
  test("a uniform class rises straight in x, and as a higher power after a change of quantity", () => {
    const one = { lowerUm: [1], upperUm: [3], shares: [1] };
    const uniform = sizeDistribution({ quantity: "volume", inClass: "uniform", ...one });
    expect(undersizeAt(curveOf(uniform), 2)).toBeCloseTo(0.5, 14);
    expect(sizeAt(curveOf(uniform), 0.25)).toBeCloseTo(1.5, 14);
    expect([0.5, 1, 3, 30].map((x) => undersizeAt(curveOf(uniform), x))).toEqual([0, 0, 1, 1]);
    // Uniform by number is weight x by length: (x² − 1)/(9 − 1).
    const byLength = sizeDistribution({
      quantity: "length",
      measuredAs: "number",
      inClass: "uniform",
      ...one,
    });
    expect(undersizeAt(curveOf(byLength), 2)).toBeCloseTo(3 / 8, 14);
    // Log-uniform by number is weight 1 in x by length: straight in x.
    const logByLength = sizeDistribution({ quantity: "length", measuredAs: "number", ...one });
    expect(undersizeAt(curveOf(logByLength), 2)).toBeCloseTo(0.5, 14);
    const mid = sizeDistribution({
      quantity: "length",
      measuredAs: "number",
      inClass: "geometric-mid",
      ...one,
    });
    expect(undersizeAt(curveOf(mid), Math.sqrt(3))).toBeCloseTo(0.5, 14);
  });
});

describe("several curves", () => {
  const other = { edgesUm: [2, 4, 16], undersize: [0, 0.5, 1], power: 0 };
  test("their edges once each, rising", () =>
    expect(unionOfEdges([curveOf(closed), other])).toEqual([1, 2, 4, 8, 16]));
  test("their mean at every edge of any", () => {
    const mean = meanCurve([curveOf(closed), other]);
    expect(mean.edgesUm).toEqual([1, 2, 4, 8, 16]);
    for (const [i, q] of [0, 0.125, (0.625 + 0.5) / 2, 0.875, 1].entries())
      expect(mean.undersize[i]).toBeCloseTo(q, 14);
  });
  test("a common power is kept, different ones are not", () => {
    const bent = { ...other, power: 1 };
    expect(meanCurve([bent, { ...bent, undersize: [0, 0.4, 1] }]).power).toBe(1);
    expect(meanCurve([bent, other]).power).toBe(0);
  });
  test("one alone is its own mean, none is refused", () => {
    expect(meanCurve([other])).toBe(other);
    expect(() => meanCurve([])).toThrow(/curves/);
  });
  test("a shift multiplies every size", () => {
    expect(shifted(other, 3).edgesUm).toEqual([6, 12, 48]);
    expect(shifted(other, 0.5).undersize).toEqual(other.undersize);
    for (const bad of [0, -1, Number.POSITIVE_INFINITY, Number.NaN])
      expect(() => shifted(other, bad)).toThrow(/factor/);
  });
});

describe("what makes a distribution", () => {
  const good = { quantity: "volume", lowerUm: [1, 2], upperUm: [2, 4], shares: [0.5, 0.5] } as const;
  test("the orders of the quantities are those of ISO 9276-1", () => {
    expect(quantities.map((q) => quantityOrder[q])).toEqual([0, 1, 2, 3]);
    expect(orderShift(sizeDistribution({ ...good, quantity: "number", measuredAs: "volume" }))).toBe(-3);
    expect(orderShift(sizeDistribution({ ...good, quantity: "surface", measuredAs: "length" }))).toBe(1);
  });
  test.each([
    ["edges", { lowerUm: [1, 2, 4] }],
    ["edges", { upperUm: [2, 4, 8] }],
    ["shares", { lowerUm: [], upperUm: [], shares: [] }],
    ["sizeUm", { upperUm: [2, Number.POSITIVE_INFINITY] }],
    ["upperUm", { upperUm: [1, 4] }],
    ["share", { shares: [Number.NaN, 0.5] }],
    ["share", { shares: [Number.POSITIVE_INFINITY, 0.5] }],
    ["lowerUm", { lowerUm: [1, 1], upperUm: [2, 4] }],
    ["lowerUm", { lowerUm: [1, 1.99], upperUm: [2, 2] }],
    ["lowerUm", { lowerUm: [1, 1.5] }],
    ["belowShare", { belowShare: -0.1, aboveShare: 0.1 }],
    ["aboveShare", { belowShare: 0.1, aboveShare: -0.1 }],
    ["shares", { shares: [0.5, 0.5 + 2e-9] }],
    ["shares", { shares: [0.5, 0.5 - 2e-9] }],
  ])("%s are refused by name in %j", (name, change) => {
    expect(() => sizeDistribution({ ...good, ...change })).toThrow(new RegExp(`^${name} must`));
  });
  test("a gap or an overlap of 5 % of the narrower class is the most that is taken", () => {
    const wide = { ...good, upperUm: [2, 12] };
    // The narrower class is one wide: 0.05 at most, on either side.
    for (const lower of [2.049, 1.951])
      expect(() => sizeDistribution({ ...wide, lowerUm: [1, lower] })).not.toThrow();
    for (const lower of [2.051, 1.949])
      expect(() => sizeDistribution({ ...wide, lowerUm: [1, lower] })).toThrow();
    const after = { ...good, lowerUm: [1, 10], upperUm: [10, 11] };
    expect(() => sizeDistribution({ ...after, lowerUm: [1, 10.04] })).not.toThrow();
    expect(() => sizeDistribution({ ...after, lowerUm: [1, 10.06] })).toThrow();
  });
  test("the last bits of a sum are forgiven, and it is frozen", () => {
    const m = sizeDistribution({ ...good, shares: [0.5, 0.5 + 5e-10] });
    expect(Object.isFrozen(m) && Object.isFrozen(m.shares) && Object.isFrozen(m.lowerUm)).toBe(true);
  });
  test("a share of nothing is a share, and the unseen is what lies on both sides", () => {
    expect(
      unseenShare(sizeDistribution({ ...good, shares: [0, 0.7], belowShare: 0.1, aboveShare: 0.2 })),
    ).toBeCloseTo(0.3, 15);
  });
});
