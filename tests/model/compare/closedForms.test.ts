import { describe, expect, test } from "vitest";
import { type Curve, curveOf, undersizeAt } from "#distributions/curve.ts";
import { geometricSurface } from "#distributions/moments.ts";
import { type NamedMeasurement, sizeDistribution } from "#distributions/sizeDistribution.ts";
import type { Band, BandRow } from "#model/band/band.ts";
import { sizeShift } from "#model/band/sizeShift.ts";
import { noiseFloorOf } from "#model/compare/against.ts";
import { bestBlend } from "#model/compare/blend.ts";
import { neckedShareOf } from "#model/compare/joining.ts";
import { stageChangeOf } from "#model/compare/step.ts";
import { copiesAmong } from "#model/lot/copies.ts";
import { oddRun } from "#model/lot/oddRun.ts";
import { powder } from "../powder.ts";

// Powders so plain that every answer is a line of arithmetic beside the check.

/** A curve of two classes, of which the finer holds q. */
const split = (q: number): Curve => ({ edgesUm: [1, 2, 4], undersize: [0, q, 1], power: 0 });
const run = (shares: readonly number[], name = "run"): NamedMeasurement => ({
  file: null,
  name,
  distribution: sizeDistribution({
    quantity: "volume",
    lowerUm: shares.map((_, i) => 2 ** i),
    upperUm: shares.map((_, i) => 2 ** (i + 1)),
    shares,
  }),
});
const bandOf = (rows: readonly BandRow[], more: Partial<Band> = {}): Band => ({
  version: 1,
  name: "b",
  stage: "milled",
  densityGPerCm3: 4.5,
  rule: "simple",
  rows,
  envelope: null,
  ...more,
});

describe("an odd run", () => {
  // Half of the others at 0.49 and half at 0.51: each lies 100·(0.02·h/(2h − 1)) points from the mean of the rest.
  test.each([
    [5, 5.5],
    [7, 4.4],
    [9, 3.85],
    [11, 3.5],
    [13, 3.3],
    [15, 3.3],
  ])(
    "of %i runs must lie %f times as far out as the others do (docs/science.md, straight between)",
    (runs, factor) => {
      const half = (runs - 1) / 2;
      const others = Array.from({ length: runs - 1 }, (_, i) => split(i < half ? 0.49 : 0.51));
      const theirs = (2 * half) / (2 * half - 1);
      const limit = factor * theirs;
      expect(oddRun([split(0.5 + (limit + 0.02) / 100), ...others])).toEqual({
        index: 0,
        gapPoints: expect.closeTo(limit + 0.02, 9),
        atUm: 2,
        othersPoints: expect.closeTo(theirs, 9),
      });
      expect(oddRun([...others, split(0.5 - (limit + 0.02) / 100)])?.index).toBe(runs - 1);
      expect(oddRun([split(0.5 + (limit - 0.02) / 100), ...others])).toBeNull();
    },
  );
  test("among runs that are all alike must lie over 0.55 points out", () => {
    const others = [0.5, 0.5, 0.5, 0.5].map(split);
    expect(oddRun([...others, split(0.5056)])?.gapPoints).toBeCloseTo(0.56, 9);
    expect(oddRun([...others, split(0.5054)])).toBeNull();
  });
});

describe("copies", () => {
  test("are the same to 1e-9", () => {
    expect(copiesAmong([split(0.5), split(0.6), split(0.5 + 5e-10)]).identical).toEqual([[0, 2]]);
    expect(copiesAmong([split(0.5), split(0.6), split(0.5 + 2e-9)]).identical).toEqual([]);
    expect(copiesAmong([split(0.5), split(0.5)])).toEqual({ identical: [[0, 1]], meansOfOthers: [] });
  });
  test("a mean of the others lies within 1e-4 of it, and ten times as near as the others to theirs", () => {
    // With an average among three, the outer two lie 1.5·0.1 from the mean of their others.
    const among = (middle: number, apart: number) =>
      copiesAmong([split(0.5 - apart), split(middle), split(0.5 + apart)]).meansOfOthers;
    expect(among(0.5 + 9e-5, 0.1)).toEqual([1]);
    expect(among(0.5 + 1.1e-4, 0.1)).toEqual([]);
    expect(among(0.5 + 4e-5, 3e-4)).toEqual([1]);
    expect(among(0.5 + 5e-5, 3e-4)).toEqual([]);
  });
});

describe("a blend whose limits are shares below a size", () => {
  // Shares below a size add by weight, so the mix in the middle of its limits is a linear equation.
  const below = (sizeUm: number, middle: number, reach = 0.05) => ({
    limit: "belowShare",
    sizeUm,
    low: middle - reach,
    high: middle + reach,
  });
  const lots = (...all: readonly (readonly number[])[]) => all.map((shares) => [run(shares)]);
  test("two lots: exact", () => {
    // 0.7·w + 0.2·(1 − w) = 0.37 at w = 0.34.
    const blend = bestBlend(lots([0.7, 0.3], [0.2, 0.8]), bandOf([below(2, 0.37)]));
    expect(blend?.weights).toEqual([expect.closeTo(0.34, 9), expect.closeTo(0.66, 9)]);
    // Right in the middle there is the whole half-width to either side.
    expect(blend?.room).toBeCloseTo(1, 6);
    expect(blend?.chance).toBeNull();
    expect(blend?.mix.shares).toEqual([expect.closeTo(0.37, 12), expect.closeTo(0.63, 12)]);
  });
  test("three lots: exact", () => {
    // Weights 0.24, 0.36, 0.4 of shares below 2 and 4 µm.
    const blend = bestBlend(
      lots([0.8, 0.1, 0.1], [0.1, 0.8, 0.1], [0.1, 0.1, 0.8]),
      bandOf([below(2, 0.1 + 0.7 * 0.24), below(4, 0.2 + 0.7 * 0.6)]),
    );
    for (const [i, w] of [0.24, 0.36, 0.4].entries())
      expect(Math.abs((blend?.weights[i] ?? 0) - w)).toBeLessThan(1e-6);
    expect(blend?.weights.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 12);
    expect(blend?.room).toBeCloseTo(1, 6);
  });
  test("four lots: exact", () => {
    const wanted = [0.2, 0.32, 0.28, 0.2];
    const pure = [0, 1, 2, 3].map((k) => [0, 1, 2, 3].map((i) => (i === k ? 0.7 : 0.1)));
    const q = (upTo: number) =>
      pure.reduce(
        (sum, shares, k) => sum + (wanted[k] ?? 0) * shares.slice(0, upTo).reduce((a, b) => a + b, 0),
        0,
      );
    const blend = bestBlend(lots(...pure), bandOf([below(2, q(1)), below(4, q(2)), below(8, q(3))]));
    for (const [i, w] of wanted.entries()) expect(Math.abs((blend?.weights[i] ?? 0) - w)).toBeLessThan(1e-6);
  });
  test("an envelope is held to where its middle lies from 5 to 95 %", () => {
    const envelope = { sizesUm: [1, 2, 4], lowShares: [0, 0.32, 0.999], highShares: [0.001, 0.42, 1] };
    const blend = bestBlend(lots([0.7, 0.3], [0.2, 0.8]), bandOf([], { envelope }));
    expect(blend?.weights[0]).toBeCloseTo(0.34, 9);
    expect(blend?.room).toBeCloseTo(1, 6);
    expect(bestBlend(lots([0.7, 0.3], [0.2, 0.8]), bandOf([]))).toBeNull();
  });
  test("two lots or more, each with a run", () => {
    expect(() => bestBlend(lots([0.5, 0.5]), bandOf([below(2, 0.5)]))).toThrow(/lots/);
    expect(
      bestBlend(lots([1, 0], [0, 1], [1, 0], [0, 1], [1, 0]), bandOf([below(2, 0.5)]))?.room,
    ).toBeCloseTo(1, 6);
    expect(() => bestBlend([[run([1, 0])], []], bandOf([below(2, 0.5)]))).toThrow(/lots/);
  });
});

describe("what brings a lot back", () => {
  // Every limit goes with size in its own way; the grid steps by ln 2/160, 0.43 %.
  const edges = Array.from({ length: 241 }, (_, i) => 0.05 * 4000 ** (i / 240));
  const lot = [3.3, 3.3].map((um) => powder(um, 1.5, edges));
  const between = (row: BandRow) => {
    const found = sizeShift(lot, bandOf([row]));
    return [found?.fromPercent ?? null, found?.toPercent ?? null, found?.sizeChangePercent ?? null];
  };
  const near = (percent: number) => expect.closeTo(percent, 0);
  test("D50 goes with the factor", () => {
    const [from, to, best] = between({ limit: "d50Um", low: 2.9, high: 3.1 });
    expect(from).toBeGreaterThanOrEqual(100 * (2.9 / 3.3 - 1) - 0.01);
    expect(from).toBeLessThan(100 * (2.9 / 3.3 - 1) + 0.45);
    expect(to).toBeLessThanOrEqual(100 * (3.1 / 3.3 - 1) + 0.01);
    expect(to).toBeGreaterThan(100 * (3.1 / 3.3 - 1) - 0.45);
    // Without a chance the middle of the limits has the most room.
    expect(best).toEqual(near(100 * (3 / 3.3 - 1)));
  });
  test("the area goes against it, a share below a size with the size over the factor, a span not at all", () => {
    const area = lot[0] === undefined ? 0 : (geometricSurface(lot[0].distribution, 4.5)?.m2PerG ?? 0);
    expect(between({ limit: "surfaceM2PerG", low: area * 1.2, high: area * 1.6 })).toEqual([
      near(-37.5),
      near(-16.7),
      near(100 * (1 / 1.4 - 1)),
    ]);
    const share = lot[0] === undefined ? 0 : undersizeAt(curveOf(lot[0].distribution), 2.5);
    expect(between({ limit: "belowShare", sizeUm: 2, low: share, high: null })[1]).toEqual(near(-20));
    const span = sizeShift(lot, bandOf([{ limit: "span", low: 5, high: 6 }]));
    expect(span).toMatchObject({ fromPercent: null, toPercent: null, inTheWay: [{ limit: "span" }] });
  });
  test("half to twice the size is looked at, and limits that no size meets together are named", () => {
    expect(between({ limit: "d50Um", low: 0, high: null }).slice(0, 2)).toEqual([near(-50), near(100)]);
    // D90/D10 of a log-normal is 1.5^2.563 = 2.83: both limits at once ask for less than 2.
    const both = sizeShift(
      lot,
      bandOf([
        { limit: "d10Um", low: 2, high: null },
        { limit: "d90Um", low: null, high: 4 },
      ]),
    );
    expect(both?.inTheWay.map((row) => row.limit)).toEqual(["d10Um", "d90Um"]);
    expect(both?.fromPercent).toBeNull();
    expect(sizeShift([], bandOf([{ limit: "d50Um", low: 1, high: 2 }]))).toBeNull();
    expect(sizeShift(lot, bandOf([]))).toBeNull();
  });
});

describe("joining on re-firing", () => {
  const wide = Array.from({ length: 161 }, (_, i) => 0.05 * 4000 ** (i / 160));
  const milled = [-0.004, 0, 0.004].map((part) => powder(3 * (1 + part), 1.5, wide));
  const refired = (times: number, share: number, growth = 1) =>
    milled.map((m) => {
      const curve = curveOf(m.distribution);
      const q = wide.map(
        (x) => (1 - share) * undersizeAt(curve, x / growth) + share * undersizeAt(curve, x / growth / times),
      );
      return {
        ...m,
        distribution: sizeDistribution({
          quantity: "volume",
          lowerUm: wide.slice(0, -1),
          upperUm: wide.slice(1),
          shares: q.slice(1).map((v, i) => v - (q[i] ?? 0)),
          belowShare: q[0] ?? 0,
          aboveShare: 1 - (q.at(-1) ?? 1),
        }),
      };
    });
  test.each([1.5, 2, 2.5, 3, 4, 5])("a tenth joined %f times as large is found as that", (times) => {
    const found = neckedShareOf(milled, refired(times, 0.1), 0.95);
    expect(found?.timesLarger).toBe(times);
    expect(found?.share.value).toBeCloseTo(0.1, 2);
    expect(found?.growthPercent.value).toBeCloseTo(0, 0);
  });
  test.each([-15, 12, 60])("growth of %f %% is found beside it", (percent) => {
    const found = neckedShareOf(milled, refired(3, 0.15, 1 + percent / 100), 0.95);
    expect(found?.growthPercent.value).toBeCloseTo(percent, 0);
    expect(found?.share.value).toBeCloseTo(0.15, 2);
    expect(found?.verdict).toBe(percent > 0 ? "joining and growth" : "joining");
  });
  test("powder open below its tenth is not judged", () => {
    const open = milled.map((m) => ({
      ...m,
      distribution: sizeDistribution({
        quantity: "volume",
        lowerUm: [1, 2],
        upperUm: [2, 4],
        shares: [0.4, 0.4],
        belowShare: 0.2,
      }),
    }));
    expect(neckedShareOf(open, open, 0.95)).toBeNull();
  });
});

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
