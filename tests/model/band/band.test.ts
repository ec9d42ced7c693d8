import { describe, expect, test } from "vitest";
import { curveOf, sizeAt, undersizeAt } from "#distributions/curve.ts";
import { distances } from "#distributions/distances.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { geometricSurface, meanDiameterUm } from "#distributions/moments.ts";
import { type NamedMeasurement, sizeDistribution } from "#distributions/sizeDistribution.ts";
import type { Band } from "#model/band/band.ts";
import { parseBand } from "#model/band/bandFile.ts";
import { envelopeVerdict, stretchesOutside } from "#model/band/envelopeVerdict.ts";
import { bandFactor, bandFromRuns } from "#model/band/fromReference.ts";
import { judge, judgeByClass, overall } from "#model/band/judge.ts";
import { limitsFault, limitValue, limitWords, percentileOf, rowKey } from "#model/band/limits.ts";
import { chanceWithin, intervalOfMean, meanOfRuns } from "#model/lot/intervals.ts";
import { chanceOfOrder, kendallScore, trendOf } from "#model/lot/trends.ts";
import { betRatio } from "#model/surface/bet.ts";
import { capital, chanceText, counted, figures, listed, signedFigures } from "#model/words/wording.ts";

// Every expected value in this file is worked by hand unless a source stands beside it.
describe("numbers in words", () => {
  test("three figures in plain decimals", () => {
    expect(figures(9.996)).toBe("10.0");
    expect(figures(999.7)).toBe("1,000");
    expect([0, 3.24568, 32.4568, 324.568, 1234.5, -0.0123456, 0.5].map((v) => figures(v))).toEqual([
      "0",
      "3.25",
      "32.5",
      "325",
      "1,235",
      "−0.0123",
      "0.500",
    ]);
    expect(figures(3.24568, 2)).toBe("3.2");
    expect(figures(0.000000123)).toBe("0.000000123");
  });
  test("signs, chances, counts and lists", () => {
    expect([signedFigures(-2), signedFigures(2), signedFigures(0)]).toEqual(["−2.00", "+2.00", "+0"]);
    expect([0.995, 0.99, 0.5, 0.01, 0.009].map(chanceText)).toEqual([
      "over 99 %",
      "99 %",
      "50 %",
      "1 %",
      "under 1 %",
    ]);
    expect([counted(0, "run"), counted(1, "run"), counted(12, "run"), counted(13, "run")]).toEqual([
      "no runs",
      "one run",
      "twelve runs",
      "13 runs",
    ]);
    expect(capital("in band")).toBe("In band");
    expect([listed([]), listed(["a"]), listed(["a", "b"]), listed(["a", "b", "c"])]).toEqual([
      "",
      "a",
      "a and b",
      "a, b and c",
    ]);
  });
});

describe("a size that moves by whole classes", () => {
  const upTo22 = { low: null, high: 22 };
  const verdict = (values: readonly number[], rule: Parameters<typeof judgeByClass>[2]) =>
    judgeByClass(values, upTo22, rule).verdict;
  test("every run is held against its limit; a limit is inside", () => {
    expect(verdict([18, 20, 22], "two-sided")).toBe("in band");
    expect(verdict([18, 20, 22.1], "two-sided")).toBe("on the edge");
    expect(verdict([23, 24, 25], "two-sided")).toBe("out of band");
    expect(verdict([18, 20, 22], "guarded")).toBe("in band");
    expect(verdict([18, 20, 22.1], "guarded")).toBe("out of band");
    expect(verdict([18, 20, 22.1], "simple")).toBe("out of band");
    expect(judgeByClass([18, 20, 22], { low: 19, high: null }, "two-sided").verdict).toBe("on the edge");
  });
  test("fewer than three runs speak for themselves alone", () => {
    expect(verdict([18, 20], "two-sided")).toBe("too few runs");
    expect(verdict([18, 20], "guarded")).toBe("too few runs");
    expect([verdict([18], "simple"), verdict([23], "simple")]).toEqual(["in band", "out of band"]);
  });
  test("the coarsest run stands for the lot, without an interval or a chance", () => {
    expect(judgeByClass([18, 22, 20], upTo22, "two-sided")).toMatchObject({ value: 22, interval: null });
  });
});

describe("a mean of runs", () => {
  test("its standard error is s/√n, and its interval Student's t (t(0.975; 2) = 4.303, printed table, from memory)", () => {
    const of = meanOfRuns([2, 3, 4]);
    expect(of).toMatchObject({ runs: 3, mean: 3, degrees: 2 });
    expect(of.standardError).toBeCloseTo(1 / Math.sqrt(3), 14);
    const interval = intervalOfMean(of, 0.95);
    expect(interval?.low).toBeCloseTo(3 - 4.3027 / Math.sqrt(3), 3);
    expect(interval?.high).toBeCloseTo(3 + 4.3027 / Math.sqrt(3), 3);
    expect(() => meanOfRuns([])).toThrow(/values/);
  });
  test("the chance between limits: half below the mean, all without limits", () => {
    const of = meanOfRuns([2, 3, 4]);
    expect(chanceWithin(of, null, 3)).toBeCloseTo(0.5, 12);
    expect(chanceWithin(of, 3, null)).toBeCloseTo(0.5, 12);
    expect(chanceWithin(of, null, null)).toBe(1);
    expect(chanceWithin(meanOfRuns([3]), 2, 4)).toBeNull();
    // t(0.975; 2) = 4.303: 95 % between the interval's own ends.
    const interval = intervalOfMean(of, 0.95);
    expect(chanceWithin(of, interval?.low ?? 0, interval?.high ?? 0)).toBeCloseTo(0.95, 9);
  });
  test("runs that are all the same are surely where they are, limits included", () => {
    const of = meanOfRuns([3, 3, 3]);
    expect([chanceWithin(of, 3, 3), chanceWithin(of, 3.1, null), chanceWithin(of, null, 2.9)]).toEqual([
      1, 0, 0,
    ]);
  });
});

describe("judging a row", () => {
  const band = { low: 2, high: 4 };
  test.each([
    [[2, 2, 2], "simple", "in band"],
    [[4, 4, 4], "simple", "in band"],
    [[1.9], "simple", "out of band"],
    [[4.1], "simple", "out of band"],
    [[2, 2, 2], "two-sided", "in band"],
    [[4, 4, 4], "two-sided", "in band"],
    [[1.9, 1.9, 1.9], "two-sided", "out of band"],
    [[4.1, 4.1, 4.1], "two-sided", "out of band"],
    [[3.9, 4, 4.1], "two-sided", "on the edge"],
    [[1.9, 2, 2.1], "two-sided", "on the edge"],
    [[3.9, 4, 4.1], "guarded", "out of band"],
    [[3, 3.01, 2.99], "guarded", "in band"],
    [[3, 3], "guarded", "too few runs"],
    [[3], "two-sided", "too few runs"],
  ] as const)("%j under the %s rule is %s", (values, rule, verdict) =>
    expect(judge(values, band, rule).verdict).toBe(verdict),
  );
  test("one side alone", () => {
    expect(judge([9, 9, 9], { low: 2, high: null }, "two-sided").verdict).toBe("in band");
    expect(judge([1, 1, 1], { low: null, high: 2 }, "two-sided").verdict).toBe("in band");
    expect(judge([1, 1, 1], { low: 2, high: null }, "two-sided").verdict).toBe("out of band");
    expect(judge([9, 9, 9], { low: null, high: 2 }, "two-sided").verdict).toBe("out of band");
  });
  test("the worst verdict counts", () => {
    expect(overall(["in band", "on the edge", "too few runs", "out of band"])).toBe("out of band");
    expect(overall(["in band", "on the edge", "too few runs"])).toBe("too few runs");
    expect(overall(["in band", "on the edge"])).toBe("on the edge");
    expect(overall([])).toBe("in band");
  });
});

describe("limits", () => {
  const m = sizeDistribution({
    quantity: "volume",
    lowerUm: [1, 2, 4, 8],
    upperUm: [2, 4, 8, 16],
    shares: [0.25, 0.5, 0.25, 0],
  });
  const open = sizeDistribution({
    quantity: "volume",
    lowerUm: [1, 2],
    upperUm: [2, 4],
    shares: [0.5, 0.3],
    aboveShare: 0.2,
  });
  const value = (limit: string, of = m, density: number | null = 4, sizeUm?: number) =>
    limitValue({ limit, low: null, high: 1, ...(sizeUm === undefined ? {} : { sizeUm }) }, of, {
      densityGPerCm3: density,
    });
  test("each reads its own value", () => {
    expect(value("d25Um")).toBe(2);
    expect(value("d50Um")).toBeCloseTo(Math.sqrt(8), 12);
    // D10 is 0.4 of the first octave, D90 0.6 of the third.
    expect(value("span")).toBeCloseTo((4 * 2 ** 0.6 - 2 ** 0.4) / Math.sqrt(8), 12);
    // Of a powder with 30 % above its classes D90 is not known, of one with 30 % below them D10.
    for (const ends of [{ aboveShare: 0.3 }, { belowShare: 0.3 }])
      expect(
        value("span", sizeDistribution({ ...m, shares: m.shares.map((v) => 0.7 * v), ...ends })),
      ).toBeNull();
    expect(value("sauterUm")).toBe(meanDiameterUm(m, 3, 2));
    expect(value("deBrouckereUm")).toBe(meanDiameterUm(m, 4, 3));
    expect(value("surfaceM2PerG")).toBe(geometricSurface(m, 4)?.m2PerG);
    expect(value("surfaceM2PerG", m, null)).toBeNull();
    expect(value("belowShare", m, 4, 4)).toBeCloseTo(0.75, 14);
    expect(value("belowShare")).toBeNull();
    expect(value("largestClassUm")).toBe(8);
    expect(value("largestClassUm", open)).toBeNull();
    expect(value("d95Um", open)).toBeNull();
    expect(value("nothing")).toBeNull();
  });
  test("what is wrong with a row, in a sentence", () => {
    const fault = (low: number | null, high: number | null, limit = "d50Um") =>
      limitsFault({ limit, low, high });
    expect(fault(null, null)).toMatch(/^Give a lower or an upper limit/);
    expect(fault(3, 2)).toMatch(/above the upper/);
    expect(fault(-0.5, 2)).toMatch(/below zero/);
    expect(fault(null, -0.5)).toMatch(/below zero/);
    expect(fault(null, 1.5, "belowShare")).toMatch(/at most 100 %/);
    expect(fault(1.5, null, "belowShare")).toMatch(/at most 100 %/);
    for (const [low, high] of [
      [2, 2],
      [0, 1],
      [null, 1],
      [0, null],
    ] as const) {
      expect(fault(low, high)).toBeNull();
      if ((high ?? 0) <= 1) expect(fault(low, high, "belowShare")).toBeNull();
    }
    expect(fault(1.5, null)).toBeNull();
    expect(rowKey({ limit: "belowShare", sizeUm: 1 })).toBe("belowShare1");
    expect(rowKey({ limit: "d50Um" })).toBe("d50Um");
  });
  test("percentiles above 0 and below 100", () => {
    expect(["d50Um", "d0.5Um", "d99.5Um"].map(percentileOf)).toEqual([0.5, 0.005, 0.995]);
    expect(["d0Um", "d100Um", "d101Um", "span", "50"].map(percentileOf)).toEqual([
      null,
      null,
      null,
      null,
      null,
    ]);
  });
  test("a share is shown as per cent, all else as it is", () => {
    expect(limitWords({ limit: "belowShare", sizeUm: 1 })).toEqual({
      name: "Below 1 µm",
      unit: "%",
      factor: 100,
    });
    for (const limit of ["d50Um", "sauterUm", "deBrouckereUm", "surfaceM2PerG", "largestClassUm", "span"])
      expect(limitWords({ limit }).factor).toBe(1);
  });
});

describe("the envelope", () => {
  const sizesUm = [1, 2, 4, 8, 16];
  const envelope = {
    sizesUm,
    lowShares: [0, 0.1, 0.4, 0.8, 0.99],
    highShares: [0.08, 0.3, 0.6, 0.95, 1],
  };
  const through = (undersize: readonly number[]) => ({ edgesUm: sizesUm, undersize, power: 0 });
  const simple = (undersize: readonly number[]) => envelopeVerdict([through(undersize)], envelope, "simple");
  test("it is judged where its middle lies from 5 to 95 %", () => {
    // Middles: 0.04, 0.2, 0.5, 0.875, 0.995: the first and the last are shown, not judged.
    expect(simple([0.5, 0.2, 0.5, 0.9, 0.9])).toBe("in band");
    for (const off of [
      [0.04, 0.31, 0.5, 0.9, 1],
      [0.04, 0.2, 0.39, 0.9, 1],
      [0.04, 0.2, 0.5, 0.96, 1],
    ])
      expect(simple(off)).toBe("out of band");
  });
  test("a stretch has its ends where the curve crosses, and its largest excess", () => {
    // At 4 the curve is 0.7 against 0.6; it crosses between 2 (0.2 − 0.3 = −0.1) and 4 (+0.1), and between 4 and 8 (−0.05).
    const [stretch, ...more] = stretchesOutside([through([0, 0.2, 0.7, 0.9, 1])], envelope, "simple");
    expect(more).toEqual([]);
    expect(stretch?.points).toBeCloseTo(10, 10);
    expect(stretch?.fromUm).toBeCloseTo(2 * Math.SQRT2, 10);
    expect(stretch?.toUm).toBeCloseTo(4 * 2 ** (2 / 3), 10);
  });
  test("too coarse is negative; a stretch may begin and end at the judged sizes; they come by size", () => {
    const [first, second, ...more] = stretchesOutside([through([0, 0.05, 0.5, 0.97, 1])], envelope, "simple");
    expect(more).toEqual([]);
    // 0.05 below 0.1 at 2 µm, and 0.1 above the low side at 4: a third of the octave.
    expect(first).toMatchObject({ fromUm: 2, points: expect.closeTo(-5, 10), verdict: "out of band" });
    expect(first?.toUm).toBeCloseTo(2 * 2 ** (1 / 3), 10);
    // −0.1 at 4 and +0.02 at 8: five sixths of the octave; 8 is the last judged size.
    expect(second).toMatchObject({ toUm: 8, points: expect.closeTo(2, 10) });
    expect(second?.fromUm).toBeCloseTo(4 * 2 ** (5 / 6), 10);
  });
  test("a stretch of several sizes has the excess of its worst, wherever in it that lies", () => {
    for (const [undersize, worst] of [
      [[0, 0.32, 0.75, 0.97, 1], 15],
      [[0, 0.5, 0.62, 0.97, 1], 20],
      [[0, 0.32, 0.62, 0.999, 1], 4.9],
    ] as const) {
      const [stretch, ...more] = stretchesOutside([through(undersize)], envelope, "simple");
      expect(more).toEqual([]);
      expect(stretch?.points).toBeCloseTo(worst, 10);
    }
  });
  test("nothing judged, nothing outside", () => {
    const flat = { sizesUm: [1, 2], lowShares: [0, 0], highShares: [0.05, 0.05] };
    expect(stretchesOutside([through([1, 1, 1, 1, 1])], flat, "simple")).toEqual([]);
    expect(envelopeVerdict([through([1, 1, 1, 1, 1])], flat, "simple")).toBe("in band");
  });
});

describe("the distance of two curves", () => {
  const a = { edgesUm: [1, 2, 4], undersize: [0, 0.5, 1], power: 0 };
  test("a shift by one class (worked by hand)", () => {
    // Gaps 0, 0.5, 0.5, 0 at 1, 2, 4, 8: ∫ = ln 2 (0.25 + 0.5 + 0.25); common density between 2 and 4.
    const found = distances(a, { ...a, edgesUm: [2, 4, 8] });
    expect(found.maxGapPoints).toBeCloseTo(50, 12);
    expect(found.atUm).toBe(2);
    expect(found.wassersteinLn).toBeCloseTo(Math.LN2, 12);
    expect(found.meanLnShift).toBeCloseTo(Math.LN2, 12);
    expect(found.overlap).toBeCloseTo(0.5, 12);
  });
  test("curves that cross: |gap| does not cancel", () => {
    // Gap +0.25 at 2, −0.25 at 4; between them it passes zero: mean |gap| 0.125; before and after 0.125 each.
    const b = { edgesUm: [1, 2, 4, 8], undersize: [0, 0.25, 1, 1], power: 0 };
    const c = { edgesUm: [1, 2, 4, 8], undersize: [0, 0.5, 0.75, 1], power: 0 };
    const found = distances(c, b);
    expect(found.wassersteinLn).toBeCloseTo(3 * 0.125 * Math.LN2, 12);
    expect(found.meanLnShift).toBeCloseTo(0, 12);
    expect(found.overlap).toBeCloseTo(0.25 + 0.25, 12);
    // Unequal arms: gaps +0.3 and −0.1 along one octave: (0.09 + 0.01)/(2 · 0.4).
    const d = { edgesUm: [2, 4], undersize: [0.3, 0.5], power: 0 };
    const e = { edgesUm: [2, 4], undersize: [0, 0.6], power: 0 };
    expect(distances(d, e).wassersteinLn).toBeCloseTo(0.125 * Math.LN2, 12);
    expect(distances(d, e).overlap).toBeCloseTo(0 + 0.2 + 0.4, 12);
  });
});

describe("a band about reference runs", () => {
  const edges = Array.from({ length: 61 }, (_, i) => 0.1 * 1000 ** (i / 60));
  const run = (medianUm: number): NamedMeasurement => {
    const q = edges.map((x) => logNormal.cdf({ medianUm, gsd: 1.6 }, x));
    return {
      file: null,
      name: `run ${medianUm}`,
      distribution: sizeDistribution({
        quantity: "volume",
        lowerUm: edges.slice(0, -1),
        upperUm: edges.slice(1),
        shares: q.slice(1).map((v, i) => v - (q[i] ?? 0)),
        belowShare: q[0] ?? 0,
        aboveShare: Math.max(0, 1 - (q.at(-1) ?? 1)),
      }),
    };
  };
  const of = { name: "b", stage: "re-fired", densityGPerCm3: 4.5 };
  test("runs that repeat well get the agreed 3 % of a size and 1.5 points of Q", () => {
    const band = bandFromRuns([3, 3, 3, 3, 3].map(run), of);
    const d50 = band.rows.find((row) => row.limit === "d50Um");
    expect(d50).toMatchObject({ low: 2.91, high: 3.09 });
    expect(band.rows.map((row) => row.limit)).toEqual(["d10Um", "d50Um", "d90Um", "span"]);
    const envelope = band.envelope;
    if (envelope === null) throw new Error("it has an envelope");
    // The ends, and the runs' own class edges between them, where the band is as straight as the curves it judges.
    const own = curveOf(run(3).distribution).edgesUm;
    expect(envelope.sizesUm.slice(1, -1).every((x) => own.includes(x))).toBe(true);
    for (const [i, x] of envelope.sizesUm.entries()) {
      const q = undersizeAt(curveOf(run(3).distribution), x);
      expect(envelope.lowShares[i]).toBeCloseTo(Math.max(0, q - 0.015), 5);
      expect(envelope.highShares[i]).toBeCloseTo(Math.min(1, q + 0.015), 5);
    }
    // From the finest 0.2 % to the coarsest 0.1 %.
    const curve = curveOf(run(3).distribution);
    expect((envelope.sizesUm[0] ?? 0) / (sizeAt(curve, 0.002) ?? 1)).toBeCloseTo(1, 3);
    expect((envelope.sizesUm.at(-1) ?? 0) / (sizeAt(curve, 0.999) ?? 1)).toBeCloseTo(1, 3);
  });
  test("runs that scatter get the factor times their spread", () => {
    const medians = [2.7, 2.85, 3, 3.15, 3.3];
    const d50 = bandFromRuns(medians.map(run), of).rows.find((row) => row.limit === "d50Um");
    // s = 0.15·√2.5 of evenly spaced values; the factor for five runs is 4.73 (docs/science.md).
    const reach = 4.73 * 0.15 * Math.sqrt(2.5);
    expect(d50?.low).toBeCloseTo(3 - reach, 1);
    expect(d50?.high).toBeCloseTo(3 + reach, 1);
  });
  test("four runs are too few, and one run has no factor", () => {
    expect(() => bandFromRuns([3, 3, 3, 3].map(run), of)).toThrow(/reference runs/);
    expect(() => bandFactor(1)).toThrow(/runs/);
    expect(bandFactor(2)).toBeGreaterThan(0);
  });
});

describe("a band as it is written down", () => {
  const good = {
    version: 1,
    name: "b",
    stage: "re-fired",
    densityGPerCm3: 4.5,
    rule: "guarded",
    rows: [{ limit: "d50Um", low: 2, high: 4, repeatabilitySd: 0.1 }],
    envelope: { sizesUm: [1, 2], lowShares: [0, 0.5], highShares: [0.2, 1] },
  };
  const faults = (change: Record<string, unknown>) => {
    const { band, problems } = parseBand({ ...good, ...change }, "band.json");
    expect(band === null).toBe(problems.length > 0);
    return problems.map((p) => p.expected ?? "");
  };
  const row = (change: Record<string, unknown>) => faults({ rows: [{ ...good.rows[0], ...change }] });
  const envelope = (change: Record<string, unknown>) => faults({ envelope: { ...good.envelope, ...change } });
  test("a good one comes back as it was", () => {
    expect(parseBand(good, null)).toEqual({ band: good, problems: [] });
    const withBet = { ...good, betM2PerG: { low: null, high: 0.7 } };
    expect(parseBand(withBet, null)).toEqual({ band: withBet, problems: [] });
    expect(parseBand({ ...good, betM2PerG: { low: null, high: null } }, null).band).toEqual(good);
    const bare = parseBand({ version: 1 }, null).band;
    const expected: Band = {
      version: 1,
      name: "target band",
      stage: "",
      densityGPerCm3: null,
      rule: "two-sided",
      rows: [],
      envelope: null,
    };
    expect(bare).toEqual(expected);
  });
  test.each([
    ["version", () => faults({ version: 2 })],
    ["densityGPerCm3", () => faults({ densityGPerCm3: 0 })],
    ["densityGPerCm3", () => faults({ densityGPerCm3: "heavy" })],
    [
      "densityGPerCm3",
      () => faults({ densityGPerCm3: null, rows: [{ limit: "surfaceM2PerG", low: 1, high: 2 }] }),
    ],
    ["rule", () => faults({ rule: "strict" })],
    ["rows", () => faults({ rows: {} })],
    ["rows[0]", () => faults({ rows: [3] })],
    ["rows[0].limit", () => row({ limit: 5 })],
    ["rows[0].limit", () => row({ limit: "d100Um" })],
    ["rows[0].low", () => row({ low: "2" })],
    ["rows[0].high", () => row({ high: Number.NaN })],
    ["rows[0]", () => row({ low: null, high: null })],
    ["rows[0].low", () => row({ low: 5 })],
    ["rows[0].sizeUm", () => row({ limit: "belowShare" })],
    ["rows[0].repeatabilitySd", () => row({ repeatabilitySd: 0 })],
    ["betM2PerG", () => faults({ betM2PerG: 3 })],
    ["betM2PerG", () => faults({ betM2PerG: { low: 0, high: 1 } })],
    ["betM2PerG.low", () => faults({ betM2PerG: { low: 0.7, high: 0.6 } })],
    ["envelope", () => faults({ envelope: 3 })],
    ["envelope", () => envelope({ lowShares: ["0", 0.5] })],
    ["envelope", () => envelope({ highShares: [1] })],
    ["envelope", () => envelope({ sizesUm: [1, 2, 3] })],
    ["envelope", () => faults({ envelope: { sizesUm: [1], lowShares: [0], highShares: [1] } })],
    ["envelope.sizesUm[0]", () => envelope({ sizesUm: [0, 2] })],
    ["envelope.sizesUm[1]", () => envelope({ sizesUm: [2, 2] })],
    ["envelope at 1 µm", () => envelope({ lowShares: [-0.1, 0.5] })],
    ["envelope at 2 µm", () => envelope({ highShares: [0.2, 1.1] })],
    ["envelope at 2 µm", () => envelope({ lowShares: [0, 1.05] })],
  ])("%s is named where it is wrong", (place, found) => {
    const places = found();
    expect(places).toHaveLength(1);
    expect(places[0]?.split(": ")[0]).toBe(place);
  });
  test("equal limits and touching sides are no fault", () => {
    expect(row({ low: 4 })).toEqual([]);
    expect(row({ low: null })).toEqual([]);
    expect(row({ limit: "belowShare", sizeUm: 0.5 })).toEqual([]);
    expect(envelope({ lowShares: [0.2, 1] })).toEqual([]);
    expect(faults({ densityGPerCm3: 0.5 })).toEqual([]);
  });
});

describe("order among runs", () => {
  test("Kendall's S and its exact chances (tables of Kendall, from memory)", () => {
    expect(kendallScore([1, 2, 3, 4])).toBe(6);
    expect(kendallScore([4, 2, 3, 1])).toBe(-4);
    expect(kendallScore([1, 1, 2])).toBe(2);
    // One order in 24 rises throughout and one falls; S = 4 has three orders a side more.
    expect(chanceOfOrder(4, 6)).toBeCloseTo(2 / 24, 14);
    expect(chanceOfOrder(4, 4)).toBeCloseTo(8 / 24, 14);
    expect(chanceOfOrder(5, 10)).toBeCloseTo(2 / 120, 14);
    expect(chanceOfOrder(3, 0)).toBe(1);
  });
  test("five in order are a trend, four are not, and one slip in five is too many", () => {
    expect(trendOf([1, 2, 3, 4, 5], null)).toBe("rising");
    expect(trendOf([5, 4, 3, 2, 1], null)).toBe("falling");
    expect(trendOf([1, 2, 3, 4], null)).toBe("steady");
    expect(trendOf([1, 2, 3, 5, 4], null)).toBe("steady");
    expect(trendOf([1, 2, null, 4, 5], null)).toBe("steady");
  });
  test("a change over 3√2 pooled deviations needs no order", () => {
    expect(trendOf([3, 3.43], 0.1)).toBe("rising");
    expect(trendOf([3.43, 3], 0.1)).toBe("falling");
    expect(trendOf([3, 3.42], 0.1)).toBe("steady");
    expect(trendOf([3], 0.1)).toBe("steady");
  });
});

describe("the BET ratio", () => {
  const pair = (betM2PerG: number, stage = "milled") => ({ stage, geometricM2PerG: 2, betM2PerG });
  test("the median is the geometric mean of the stage's ratios", () => {
    const found = betRatio([pair(2), pair(8), pair(99, "fired")], "milled", 0.95);
    expect(found).toMatchObject({ pairs: 2, median: expect.closeTo(2, 12), low: null, high: null });
    expect(betRatio([pair(2), pair(8), pair(4)], null, 0.95)?.high).not.toBeNull();
    expect(betRatio([pair(2)], "crushed", 0.95)).toBeNull();
  });
  test("a level outside 0 … 1 is refused", () => {
    for (const level of [0, 1, -0.5, 1.5]) expect(() => betRatio([pair(2)], null, level)).toThrow(/level/);
  });
  test("its interval is two-sided about ln k (t(0.975; 2) = 4.303, printed table, from memory)", () => {
    const e = Math.exp;
    const found = betRatio([pair(2), pair(2 * e(0.1)), pair(2 * e(0.2))], "milled", 0.95);
    const reach = 4.3027 * 0.1 * Math.sqrt(4 / 3);
    expect(found?.low).toBeCloseTo(e(0.1 - reach), 4);
    expect(found?.high).toBeCloseTo(e(0.1 + reach), 4);
  });
});

test("a curve held against itself is at no distance", () => {
  const curve = curveOf(
    sizeDistribution({
      quantity: "volume",
      lowerUm: [1, 2],
      upperUm: [2, 4],
      shares: [0.5, 0.3],
      belowShare: 0.2,
    }),
  );
  expect(distances(curve, curve)).toMatchObject({ maxGapPoints: 0, wassersteinLn: 0, meanLnShift: 0 });
  expect(distances(curve, curve).overlap).toBeCloseTo(1, 14);
});
