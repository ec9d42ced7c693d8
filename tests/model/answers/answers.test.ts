import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { logNormal } from "#distributions/families/logNormal.ts";
import { normalForm } from "#distributions/families/normalForm.ts";
import { type NamedMeasurement, sizeDistribution } from "#distributions/sizeDistribution.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { compareAnswer } from "#model/answers/compare/compareAnswer.ts";
import { checkAnswer } from "#model/answers/lot/checkAnswer.ts";
import { describeAnswer } from "#model/answers/lot/describeAnswer.ts";
import { wheelAnswer } from "#model/answers/mill/wheelAnswer.ts";
import { surfaceAnswer } from "#model/answers/surface/surfaceAnswer.ts";
import type { Band } from "#model/band/band.ts";
import { parseBand, readBand, writeBand } from "#model/band/bandFile.ts";
import { bandFactor, bandFromRuns } from "#model/band/fromReference.ts";
import { chanceWithin, intervalOfMean, meanOfRuns } from "#model/lot/intervals.ts";
import { readMill } from "#model/mill/mill.ts";
import { predictedCurve } from "#model/mill/trials/predictedCurve.ts";
import { readTrials } from "#model/mill/trials/readTrials.ts";
import { tQuantile } from "#model/numbers/studentT.ts";
import { readPairs } from "#model/surface/readPairs.ts";

const edges = Array.from({ length: 401 }, (_, i) => 0.05 * 8000 ** (i / 400));
function powder(medianUm: number, gsd: number, name = "run"): NamedMeasurement {
  const q = (x: number) => logNormal.cdf({ medianUm, gsd }, x);
  const raw = edges.slice(1).map((x, i) => q(x) - q(edges[i] ?? 0));
  const sum = raw.reduce((a, b) => a + b, 0);
  return {
    file: null,
    name,
    distribution: sizeDistribution({
      quantity: "volume",
      lowerUm: edges.slice(0, -1),
      upperUm: edges.slice(1),
      shares: raw.map((v) => v / sum),
    }),
  };
}
const sample = (path: string) =>
  readFileSync(new URL(`../../../distributions/samples/${path}`, import.meta.url), "utf8");

describe("describe", () => {
  test("a log-normal of 3 µm and 1.6 (docs/science.md, worked independently)", () => {
    const [m] = describeAnswer([powder(3, 1.6)], { densityGPerCm3: 4.7 }).measurements;
    expect(m?.percentilesUm["10"]).toBeCloseTo(1.643, 2);
    expect(m?.percentilesUm["90"]).toBeCloseTo(5.479, 2);
    expect(m?.meansUm["3,2"]).toBeCloseTo(2.686, 2);
    expect(m?.meansUm["4,3"]).toBeCloseTo(3.35, 2);
    expect(m?.surfaceM2PerG).toBeCloseTo(0.475, 3);
  });
  test("by number, the median is 1.546 µm and its finest classes hold too little for a note", () => {
    const { measurements, problems } = describeAnswer([powder(3, 1.6)], { as: "number" });
    expect(measurements[0]?.percentilesUm["50"]).toBeCloseTo(1.546, 2);
    expect(problems.some((p) => /finest two hold/.test(p.message))).toBe(false);
  });
});

describe("compare (check values of docs/science.md: equal widths, medians 1.3 apart)", () => {
  const s = Math.log(1.6);
  const answer = compareAnswer([powder(3, 1.6)], [powder(3.9, 1.6)]);
  test("max gap 2Φ(ln ρ/2σ) − 1, overlap the rest, shift and mean shift ρ − 1", () => {
    const gap = 2 * normalForm.undersize(Math.log(1.3) / (2 * s)) - 1;
    expect(answer.maxGapPoints).toBeCloseTo(100 * gap, 1);
    expect(answer.overlap).toBeCloseTo(1 - gap, 2);
    expect(answer.shiftPercent).toBeCloseTo(30, 2);
    expect(answer.meanShiftPercent).toBeCloseTo(30, 2);
    expect(answer.percentileRatios["50"]).toBeCloseTo(1.3, 5);
  });
  test("equal medians, different widths: W1 = |σ2 − σ1|√(2/π), and no mean shift", () => {
    const wide = compareAnswer([powder(3, 1.6)], [powder(3, 1.9)]);
    expect(Math.log1p(wide.shiftPercent / 100)).toBeCloseTo((Math.log(1.9) - s) * Math.sqrt(2 / Math.PI), 3);
    expect(Math.abs(wide.meanShiftPercent)).toBeLessThan(0.05);
    expect(wide.sentence).toMatch(/cross/);
  });
});

describe("expected BET", () => {
  const pairs = readPairs(sample("pairs.csv"), null).pairs;
  test("three pairs and more give a Student-t prediction interval on the ratio", () => {
    const three = [1.2, 1.3, 1.4].map((k) => ({
      stage: "re-fired",
      geometricM2PerG: 0.475,
      betM2PerG: 0.475 * k,
    }));
    const [m] = surfaceAnswer([powder(3, 1.6)], {
      densityGPerCm3: 4.7,
      pairs: three,
      stage: "re-fired",
    }).measurements;
    const logs = [1.2, 1.3, 1.4].map(Math.log);
    const mean = logs.reduce((a, b) => a + b, 0) / 3;
    const sd = Math.sqrt(logs.reduce((a, b) => a + (b - mean) ** 2, 0) / 2);
    // t(0.975; 2) = 4.303 from a printed table, from memory.
    expect((m?.betM2PerG?.high ?? 0) / (m?.geometricM2PerG ?? 1)).toBeCloseTo(
      Math.exp(mean + 4.303 * sd * Math.sqrt(4 / 3)),
      3,
    );
  });
  test("one pair gives a middle without an interval and says so; none gives nothing", () => {
    const one = surfaceAnswer([powder(3, 1.6)], { densityGPerCm3: 4.55, pairs, stage: "milled" });
    expect(one.measurements[0]?.betM2PerG).toMatchObject({ low: null, high: null });
    expect(one.problems[0]?.message).toMatch(/no interval/);
    expect(surfaceAnswer([powder(3, 1.6)], { densityGPerCm3: 4.55 }).measurements[0]?.betM2PerG).toBeNull();
    // A powder without an area has no BET area either, whatever the pairs say.
    const { distribution, ...named } = powder(3, 1.6);
    const unseen = {
      ...named,
      distribution: { ...distribution, shares: distribution.shares.map(() => 0), aboveShare: 1 },
    };
    const [none] = surfaceAnswer([unseen], { densityGPerCm3: 4.55, pairs, stage: "milled" }).measurements;
    expect([none?.geometricM2PerG, none?.betM2PerG]).toEqual([null, null]);
  });
  test("pairs that scatter wildly are said to give no useful interval, in words", () => {
    const wild = [1.2, 1.3, 140].map((k) => ({
      stage: "re-fired",
      geometricM2PerG: 0.475,
      betM2PerG: 0.475 * k,
    }));
    const { sentence } = surfaceAnswer([powder(3, 1.6)], { densityGPerCm3: 4.7, pairs: wild });
    expect(sentence).toMatch(/no useful interval, because the pairs scatter too much/);
  });
  test("the shares of area add to 1, and 3.09 % lies below 1 µm (docs/science.md)", () => {
    const [m] = surfaceAnswer([powder(3, 1.6)], { densityGPerCm3: 4.7 }).measurements;
    expect(m?.bySize.reduce((sum, c) => sum + c.share, 0)).toBeCloseTo(1, 12);
    const below = m?.bySize.filter((c) => c.toUm <= 1).reduce((sum, c) => sum + c.share, 0) ?? 0;
    expect(below).toBeGreaterThan(0.029);
    expect(below).toBeLessThan(0.0315);
  });
});

describe("intervals and conformance", () => {
  test.each([
    [0.975, 2, 4.303],
    [0.975, 5, 2.571],
    [0.95, 9, 1.833],
  ])("t(%f; %i) = %f (handbook table, from memory)", (p, n, t) => {
    expect(tQuantile(p, n)).toBeCloseTo(t, 3);
  });
  test.each([
    [5, 4.73],
    [6, 4.12],
    [8, 3.54],
    [10, 3.26],
    [20, 2.83],
  ])("band factor for %i reference runs is %f (docs/science.md, simulated there)", (n, k) => {
    expect(bandFactor(n)).toBeCloseTo(k, 2);
  });
  test.each([
    [0, 0.5],
    [0.83, 0.04846],
    [1, 0.02275],
    [1.5, 0.00135],
  ])("guard band of %f U: chance of a false accept at the limit %f (ILAC-G8, ISO 14253-1)", (w, chance) => {
    const of = { runs: 5, mean: -2 * w, standardError: 1, degrees: null };
    expect(1 - (chanceWithin(of, null, 0) ?? 0)).toBeCloseTo(chance, 4);
  });
  test("fewer than three runs have no interval unless a repeatability is agreed", () => {
    expect(intervalOfMean(meanOfRuns([3, 3.1]), 0.95)).toBeNull();
    expect(() => meanOfRuns([])).toThrow("values must hold at least one run, got 0");
    expect(intervalOfMean(meanOfRuns([3, 3.1], 0.1), 0.95)?.high).toBeCloseTo(
      3.05 + (1.959964 * 0.1) / Math.SQRT2,
      5,
    );
  });
});

describe("check", () => {
  const runs = [0.99, 1.001, 1.01].map((f, i) => powder(3 * f, 1.6, `run ${i}`));
  const band = (rows: Band["rows"], envelope: Band["envelope"] = null): Band => ({
    version: 1,
    name: "b",
    stage: "re-fired",
    densityGPerCm3: 4.7,
    rule: "two-sided",
    rows,
    envelope,
  });
  test.each([
    ["wholly inside", 2.5, 3.5, "in band"],
    ["on the limit", 2.5, 3.01, "on the edge"],
    ["wholly outside", 3.2, 3.5, "out of band"],
  ])("a mean %s", (_, low, high, verdict) => {
    expect(checkAnswer(runs, band([{ limit: "d50Um", low, high }])).verdict).toBe(verdict);
  });
  test("guarded turns the edge into out, simple into in or out; one run is too few", () => {
    const edge = band([{ limit: "d50Um", low: 2.5, high: 3.01 }]);
    expect(checkAnswer(runs, edge, { rule: "guarded" }).verdict).toBe("out of band");
    expect(checkAnswer(runs, edge, { rule: "simple" }).verdict).toBe("in band");
    expect(checkAnswer(runs.slice(0, 1), edge).verdict).toBe("too few runs");
    expect(
      checkAnswer(runs.slice(0, 1), band([{ limit: "d50Um", low: 2.5, high: 3.5, repeatabilitySd: 0.05 }]))
        .verdict,
    ).toBe("in band");
  });
  test("ISO 12103-1 A1 dust as a published band: its middle is in, a curve 20 % coarser is out and says where", () => {
    const sizesUm = [0.97, 1.38, 2.75, 5.5, 11, 22];
    const lowShares = [0.03, 0.07, 0.23, 0.65, 0.955, 1];
    const highShares = [0.05, 0.1, 0.27, 0.69, 0.975, 1];
    const dust = band(
      [
        { limit: "d10Um", low: 1.38, high: 1.57 },
        { limit: "d50Um", low: 4.02, high: 4.29 },
        { limit: "d90Um", low: 9.17, high: 9.71 },
      ],
      { sizesUm, lowShares, highShares },
    );
    const through = (factor: number): NamedMeasurement => {
      const q = sizesUm.map((_, i) => ((lowShares[i] ?? 0) + (highShares[i] ?? 0)) / 2);
      return {
        file: null,
        name: "dust",
        distribution: sizeDistribution({
          quantity: "volume",
          lowerUm: sizesUm.slice(0, -1).map((x) => x * factor),
          upperUm: sizesUm.slice(1).map((x) => x * factor),
          shares: q.slice(1).map((v, i) => v - (q[i] ?? 0)),
          belowShare: q[0] ?? 0,
        }),
      };
    };
    const three = (f: number) => [through(f * 0.999), through(f), through(f * 1.001)];
    expect(checkAnswer(three(1), dust).verdict).toBe("in band");
    const coarse = checkAnswer(three(1.2), dust);
    expect(coarse.verdict).toBe("out of band");
    expect(coarse.outside[0]?.points).toBeLessThan(0);
    expect(coarse.outside[0]?.fromUm).toBeGreaterThanOrEqual(1.38);
  });
  test("the demo lots are in band, on the edge and out of band", () => {
    const { band: target } = readBand(sample("bands/garnet-target.json"), null);
    expect(target).not.toBeNull();
    const verdicts = ["07", "08", "09"].map((lot) => {
      const { measurements, problems } = readTable(sample(`lots/garnet-${lot}/re-fired.csv`), "x.csv", {});
      expect(problems).toEqual([]);
      return target === null ? "" : checkAnswer(measurements, target).verdict;
    });
    expect(verdicts).toEqual(["in band", "on the edge", "out of band"]);
  });
  test("a band written and read back is identical; a band about reference runs holds them", () => {
    const { measurements } = readTable(sample("reference/reference-powder.csv"), "x.csv", {});
    const about = bandFromRuns(measurements, { name: "about it", stage: "re-fired", densityGPerCm3: 4.55 });
    expect(readBand(writeBand(about), null).band).toEqual(about);
    expect(checkAnswer(measurements, about).verdict).toBe("in band");
  });
  test.each([
    ["an unknown limit", { rows: [{ limit: "d0Um", low: 1, high: 2 }] }],
    ["a low above its high", { rows: [{ limit: "d50Um", low: 3, high: 2 }] }],
    ["a share without its size", { rows: [{ limit: "belowShare", low: null, high: 0.1 }] }],
    ["sizes that do not rise", { envelope: { sizesUm: [2, 1], lowShares: [0, 0], highShares: [1, 1] } }],
  ])("%s is named", (_, change) => {
    const { band: read, problems } = parseBand({ ...band([]), ...change }, "band.json");
    expect(read).toBeNull();
    expect(problems[0]?.expected).not.toBeNull();
  });
});

describe("wheel", () => {
  const { mill } = readMill(sample("mill/mill.json"), null);
  const { trials } = readTrials(sample("mill/trials.csv"), null);
  if (mill === null) throw new Error("the demo mill must read");

  test("D50 with an interval, and the speed for a target, from the demo trials", () => {
    const a = wheelAnswer(mill, trials, { speedRpm: 6200, targetD50Um: 3 });
    expect(a.d50Um?.low).toBeLessThan(a.d50Um?.median ?? 0);
    expect(a.basis).toBe("trials");
    const there = wheelAnswer(mill, trials, { speedRpm: a.speedRpm?.median ?? 0 });
    expect(there.d50Um?.median).toBeCloseTo(3, 6);
    expect(a.refused).toEqual([]);
  });
  test.each([
    ["above the rated speed", { speedRpm: 9001 }, /above the rated/],
    ["too far outside the trials", { speedRpm: 2000 }, /outside your trials/],
    ["a target that the rated speed does not reach", { targetD50Um: 0.5 }, /not reached/],
  ])("%s is refused with a remedy, and the cut is still given", (_, ask, reason) => {
    const a = wheelAnswer(mill, trials, ask);
    expect(a.refused[0]?.reason).toMatch(reason);
    expect(a.refused[0]?.remedy).not.toBe("");
    expect(a.cutUm === null).toBe(!("speedRpm" in ask));
  });
  test("no rated speed: no suggested speed", () => {
    const a = wheelAnswer({ ...mill, ratedSpeedRpm: null }, trials, { speedRpm: 6000, targetD50Um: 3 });
    expect(a.speedRpm).toBeNull();
    expect(a.refused.map((r) => r.what)).toEqual(["speedRpm"]);
    expect(a.d50Um).not.toBeNull();
  });
  test("no trials: the prior, with a warning; a trial that contradicts the others is named", () => {
    expect(wheelAnswer(mill, [], { speedRpm: 4500 })).toMatchObject({ basis: "prior" });
    expect(wheelAnswer(mill, [], { speedRpm: 4500 }).warnings[0]).toMatch(/no trials/);
    const odd = trials.map((t, i) => (i === 3 ? { ...t, d50Um: t.d50Um * 3 } : t));
    expect(wheelAnswer(mill, odd, { speedRpm: 6000 }).refused[0]?.reason).toMatch(/trial 4 .* contradicts/);
  });
  test("faster is never coarser, and the predicted curve has the predicted median", () => {
    const medians = [4000, 5000, 6000, 7000, 8000].map(
      (speedRpm) => wheelAnswer(mill, trials, { speedRpm }).d50Um?.median ?? 0,
    );
    expect([...medians].sort((a, b) => b - a)).toEqual(medians);
    expect(predictedCurve([], 6000, 3)).toBeNull();
  });
  test("trials with a bad row lose that row alone", () => {
    const { trials: read, problems } = readTrials("speedRpm,d50Um\n5000,3\n6000,x\n7000,2\n", "t.csv");
    expect(read.length).toBe(2);
    expect(problems[0]).toMatchObject({ row: 3, column: 2, found: "x" });
  });
});
