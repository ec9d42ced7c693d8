import { describe, expect, test } from "vitest";
import { type Curve, sizeAt, undersizeAt } from "#distributions/curve.ts";
import { curveByClass, feedByClass } from "#model/mill/grinding/feed.ts";
import { assumedCircuit, fitCircuit } from "#model/mill/grinding/fitCircuit.ts";
import { fallingGrid } from "#model/mill/grinding/kernel.ts";
import { type CircuitShape, productTied, tiedKernel } from "#model/mill/grinding/tied.ts";
import { pairOfCurves, refiredCurve } from "#model/mill/prediction/refiredCurve.ts";
import { growthByPercent, meanShift } from "#model/mill/prediction/refiringGrowth.ts";
import { exponentsOf } from "#model/mill/trials/exponents.ts";
import { nextTrial } from "#model/mill/trials/nextTrial.ts";
import { usualPriors } from "#model/mill/trials/priors.ts";
import { speedLimits } from "#model/mill/trials/setPoint.ts";
import { fitTrials, rowOf } from "#model/mill/trials/trialFit.ts";
import { cholesky, inverseFrom } from "#model/numbers/cholesky.ts";
import { demoMill, demoTrials } from "../demo.ts";

// Identities of algebra, each by another road than the code takes.
describe("the next trial", () => {
  const fit = fitTrials(demoMill, demoTrials.slice(0, 4));
  const rated = 9000;
  const inverse = (matrix: readonly ArrayLike<number>[]) => inverseFrom(cholesky(matrix) ?? []);
  /** Mean over σ of the curve's deviation at a row, after trials at other rows: information adds (Σ⁻¹ + z zᵀ/σ²)⁻¹. */
  const sdAfter = (at: readonly number[], rows: readonly (readonly number[])[]) =>
    fit.posterior.components.reduce((sum, { weight, sigma, covariance }) => {
      const information = inverse(covariance).map((line, i) =>
        line.map((v, j) => v + rows.reduce((s, z) => s + ((z[i] ?? 0) * (z[j] ?? 0)) / sigma ** 2, 0)),
      );
      const left = inverse(information);
      const variance = at.reduce(
        (s, a, i) => s + a * at.reduce((t, b, j) => t + b * (left[i]?.[j] ?? 0), 0),
        0,
      );
      return sum + weight * Math.sqrt(variance);
    }, 0);
  /** All that is permitted; for a target among the trials (3,800 to 5,400 rpm) a span of two about them. */
  const rangeFor = (speedRpm: number) => {
    if (speedRpm < 3800 || speedRpm > 5400) return speedLimits(fit, rated);
    const middle = Math.sqrt(3800 * 5400);
    return { lowestRpm: middle / Math.SQRT2, highestRpm: middle * Math.SQRT2 };
  };
  test.each([2600, 4000, 8500])(
    "at a target of %i rpm is the one that leaves least doubt, and its gain is told",
    (speedRpm) => {
      const target = { speedRpm, flowM3PerH: 190, feedKgPerH: 8 };
      const { lowestRpm, highestRpm } = rangeFor(speedRpm);
      const speeds = (count: number) =>
        Array.from({ length: count }, (_, i) => lowestRpm * (highestRpm / lowestRpm) ** (i / (count - 1)));
      const row = (rpm: number) => rowOf({ ...target, speedRpm: rpm }, fit.reference);
      const at = row(speedRpm);
      const found = nextTrial(fit, target, rated);
      if (found === null) throw new Error("there is a next trial");
      const least = Math.min(...speeds(60).map((rpm) => sdAfter(at, [row(rpm)])));
      expect(sdAfter(at, [row(found.speedRpm)]) / least).toBeCloseTo(1, 7);
      expect(found.narrowing).toBeCloseTo(least / sdAfter(at, []), 6);
      const advised: number[][] = [];
      for (let k = 0; k < 3; k++) {
        const next = speeds(60).reduce((a, b) =>
          sdAfter(at, [...advised, row(b)]) < sdAfter(at, [...advised, row(a)]) ? b : a,
        );
        advised.push(row(next));
      }
      expect(found.againstEven).toBeCloseTo(sdAfter(at, advised) / sdAfter(at, speeds(3).map(row)), 6);
      const own = demoTrials.slice(0, 4).map((t) => t.speedRpm);
      const isInside = speedRpm > Math.min(...own) && speedRpm < Math.max(...own);
      expect(found.isWorth).toBe(found.againstEven <= (isInside ? 1.02 : 0.85));
    },
  );
  test("no speed is permitted below the trials' own reach", () => {
    expect(nextTrial(fit, { speedRpm: 3000, flowM3PerH: 190, feedKgPerH: 8 }, 1000)).toBeNull();
  });
});

describe("what the exponents rest on", () => {
  test("goes by how much of the prior's spread is left: half, and 85 %", () => {
    for (const count of [1, 2, 4, demoTrials.length]) {
      for (const { now, prior, restsOn } of exponentsOf(
        demoMill,
        fitTrials(demoMill, demoTrials.slice(0, count)),
      )) {
        const left = now.sd / prior.sd;
        expect(restsOn).toBe(
          left < 0.5 ? "your trials" : left < 0.85 ? "your trials and the prior" : "the prior",
        );
        expect(left).toBeLessThan(1.001);
      }
    }
  });
  test("without trials each is its prior, in mean and spread", () => {
    const asEntered = exponentsOf(demoMill, fitTrials(demoMill, []));
    const priors = [usualPriors.speed, usualPriors.flow, usualPriors.feed];
    for (const [i, e] of asEntered.entries()) {
      expect(e.now.mean).toBeCloseTo(priors[i]?.mean ?? 0, 9);
      expect(e.now.sd).toBeCloseTo(priors[i]?.sd ?? 0, 9);
    }
  });
});

describe("whole curves of re-fired powder", () => {
  const milled: Curve = { edgesUm: [1, 2, 3, 4, 6, 9], undersize: [0, 0.15, 0.5, 0.8, 0.99, 1], power: 0 };
  const grown = { ...milled, edgesUm: milled.edgesUm.map((x, i) => x * (1.05 + 0.02 * i)) };
  const pair = pairOfCurves("a", milled, grown);
  test("a pair holds both at the same thirteen percentiles", () => {
    expect(pair?.percents).toEqual([2, 5, 10, 20, 30, 40, 50, 60, 70, 80, 90, 95, 98]);
    for (const [i, p] of (pair?.percents ?? []).entries()) {
      expect(pair?.milledUm[i]).toBe(sizeAt(milled, p / 100));
      expect(pair?.refiredUm[i]).toBe(sizeAt(grown, p / 100));
    }
    const open = { ...grown, undersize: grown.undersize.map((q) => 0.97 * q) };
    expect(pairOfCurves("a", milled, open)).toBeNull();
    expect(pairOfCurves("a", open, milled)).toBeNull();
  });
  test("one lot's own shift makes its re-fired curve of its milled one, at the percentiles it is known by", () => {
    const shift = pair === null ? null : growthByPercent([pair]);
    if (shift === null) throw new Error("one pair is enough");
    for (const p of shift.percents) {
      const size = sizeAt(milled, p / 100) ?? 0;
      expect(size * Math.exp(meanShift(shift, p))).toBeCloseTo(sizeAt(grown, p / 100) ?? 0, 12);
    }
    // Between two percentiles the shift runs straight, below the first and above the last it stays.
    expect(meanShift(shift, 7.5)).toBeCloseTo((meanShift(shift, 5) + meanShift(shift, 10)) / 2, 12);
    expect(meanShift(shift, 1)).toBe(meanShift(shift, 2));
    expect(meanShift(shift, 99)).toBe(meanShift(shift, 98));
    const again = refiredCurve(milled, shift);
    for (const x of [2.4, 3.2, 5]) expect(undersizeAt(again, x)).toBeCloseTo(undersizeAt(grown, x), 1);
  });
  test("beyond D10 and D90 a size grows as the lots' own that lie as far from there, not as their percentile", () => {
    // A lot with a hump of fines, of which 2 % lie below 0.5 µm and double; the powder asked about has none so fine.
    const shift = growthByPercent([
      {
        lot: "a",
        percents: [2, 10, 50, 90, 98],
        milledUm: [0.5, 1.5, 3, 5.5, 8],
        refiredUm: [1, 1.8, 3.4, 6, 8.6],
      },
    ]);
    if (shift === null) throw new Error("one pair is enough");
    const lean: Curve = {
      edgesUm: [0.5, 1.2, 1.5, 3, 5.5, 6.6, 12],
      undersize: [0, 0.02, 0.1, 0.5, 0.9, 0.98, 1],
      power: 0,
    };
    const { edgesUm } = refiredCurve(lean, shift);
    const between = (low: number, high: number, part: number) => low + (high - low) * part;
    const fine = between(Math.log(1.2), Math.log(2), Math.log(1.5 / 1.2) / Math.log(3));
    const coarse = between(Math.log(6 / 5.5), Math.log(8.6 / 8), Math.log(6.6 / 5.5) / Math.log(8 / 5.5));
    expect(edgesUm.map((x, i) => Math.log(x / (lean.edgesUm[i] ?? 1)))).toEqual(
      [Math.LN2, fine, Math.log(1.2), Math.log(3.4 / 3), Math.log(6 / 5.5), coarse, Math.log(8.6 / 8)].map(
        (v) => expect.closeTo(v, 12),
      ),
    );
  });
  test("sizes never cross, though the shifts would fold them", () => {
    const shift = growthByPercent([{ lot: "a", percents: [10, 90], milledUm: [2, 4], refiredUm: [4, 3] }]);
    if (shift === null) throw new Error("one pair is enough");
    const folded = refiredCurve(milled, shift);
    for (const [i, x] of folded.edgesUm.entries()) expect(x).toBeGreaterThan(folded.edgesUm[i - 1] ?? 0);
  });
});

describe("classes of a feed", () => {
  test("there is one share more than classes, for what lies below them, and the curve comes back from them", () => {
    const grid = fallingGrid(96, 2, 5);
    const feed: Curve = { edgesUm: [1.5, 6, 24, 96], undersize: [0.1, 0.4, 0.7, 1], power: 0 };
    const shares = feedByClass(feed, grid);
    // 96 → 48 → 24 → 12 → 6 → 3: halves of what each two octaves hold.
    expect([...shares]).toEqual([0.15, 0.15, 0.15, 0.15, 0.15, 0.25].map((v) => expect.closeTo(v, 14)));
    const back = curveByClass(shares, grid);
    expect(back.edgesUm).toEqual([3, 6, 12, 24, 48, 96].map((v) => expect.closeTo(v, 12)));
    expect(back.undersize).toEqual([0.25, 0.4, 0.55, 0.7, 0.85, 1].map((v) => expect.closeTo(v, 14)));
  });
});

describe("a circuit fitted to whole curves", () => {
  const feed: Curve = { edgesUm: [30, 60], undersize: [0, 1], power: 0 };
  const truth: CircuitShape = {
    sharpness: 0.55,
    fragmentKind: "power",
    fragmentExponent: 1.6,
    rateExponent: 1,
    load: { at: "cut", value: 0.4 },
  };
  const curves = [2.5, 4].map(
    (um) => productTied(tiedKernel(feed, truth, 2.5, 8), truth, um)?.productCurve ?? feed,
  );
  const found = fitCircuit(curves, feed);
  if (found === null) throw new Error("two curves can be followed");
  test("the largest gap is at least the typical one, and at most the square root of the points times it", () => {
    const rms = found.rmsPoints ?? Number.NaN;
    expect(found.maxGapPoints).toBeGreaterThanOrEqual(rms);
    expect(found.maxGapPoints).toBeLessThanOrEqual(rms * Math.sqrt(48) + 1e-12);
  });
  test("the range of loads lies about the load itself, by two errors either way and 1.5 at least", () => {
    const [low, high] = found.loadRange;
    const [, , sd = 0] = found.standardErrors ?? [];
    expect(Math.log(high / low) / 2).toBeCloseTo(Math.max(2 * sd, Math.log(1.5)), 9);
    // Rates were taken at the geometric mean of both cuts.
    const cut = [2.5, 4].map(
      (um) => productTied(tiedKernel(feed, found.shape, 2.5, 4), found.shape, um)?.separation.cutUm ?? 1,
    );
    const middle = Math.sqrt((cut[0] ?? 1) * (cut[1] ?? 1));
    expect(Math.sqrt(low * high) / (found.shape.load.value * middle)).toBeCloseTo(1, 2);
  });
  test("one curve alone leaves the load to belief: a tenth, give or take a factor", () => {
    const one = fitCircuit(curves.slice(0, 1), feed);
    expect(one?.curves).toBe(1);
    expect(one?.standardErrors?.[2]).toBeGreaterThan(found.standardErrors?.[2] ?? 1);
  });
  test("assumed, the load at the cut is a tenth at any cut", () => {
    expect(assumedCircuit(4).shape.load.value * 4).toBeCloseTo(0.1, 14);
    expect(assumedCircuit(4).shape).toMatchObject({ sharpness: 0.6, fragmentExponent: 1.4, rateExponent: 1 });
  });
});
