import { describe, expect, test } from "vitest";
import { normalDeviate } from "#distributions/families/normalDeviate.ts";
import { normalForm } from "#distributions/families/normalForm.ts";
import { wheelAnswer } from "#model/answers/mill/wheelAnswer.ts";
import type { Band, BandRow } from "#model/band/band.ts";
import { breakingPerS, fragmentsBelow } from "#model/mill/grinding/breakage.ts";
import { chanceInBand } from "#model/mill/prediction/chanceInBand.ts";
import { isJudged, judgedRows } from "#model/mill/prediction/judgedRows.ts";
import { productShape, shapeOf } from "#model/mill/prediction/productShape.ts";
import { pairOfCurves, refiredCurve } from "#model/mill/prediction/refiredCurve.ts";
import {
  growthByPercent,
  meanShift,
  type RefiringPair,
  shiftPrediction,
  widthShiftPrediction,
} from "#model/mill/prediction/refiringGrowth.ts";
import { posteriorOf, predict } from "#model/mill/trials/posterior.ts";
import { negativeOf, sumOf, thinPosterior } from "#model/mill/trials/predictionMixture.ts";
import type { Trial } from "#model/mill/trials/trial.ts";
import { endOf } from "#model/mill/trials/widthPrediction.ts";
import { chanceBelow, mixtureQuantile } from "#model/numbers/normalMixture.ts";
import { demoBand, demoMill, demoTrials } from "../demo.ts";
import { smallMill as mill } from "../smallMill.ts";

// Every expected value in this file is worked by hand unless a definition or an identity is named.
const normal = (mean: number, sd: number) => ({ weights: [1], means: [mean], sds: [sd] });
const pair = (lot: string, ...growth: number[]): RefiringPair => ({
  lot,
  percents: [10, 50, 90],
  milledUm: [1, 2, 4],
  refiredUm: [1, 2, 4].map((d, i) => d * Math.exp(growth[i] ?? 0)),
});
const shiftOf = (...pairs: RefiringPair[]) => {
  const shift = growthByPercent(pairs);
  if (shift === null) throw new Error("pairs make a shift");
  return shift;
};

describe("shifts by re-firing", () => {
  test("the mean over lots at each percent, straight between them and level beyond", () => {
    const shift = shiftOf(pair("a", 0.1, 0.2, 0.6), pair("b", 0.3, 0.4, 0.8));
    for (const [percent, mean] of [
      [1, 0.2],
      [10, 0.2],
      [30, 0.25],
      [50, 0.3],
      [60, 0.4],
      [90, 0.7],
      [99, 0.7],
    ] as const)
      expect(meanShift(shift, percent)).toBeCloseTo(mean, 12);
    expect(growthByPercent([])).toBeNull();
  });
  test("below three lots the mean alone; the widths shift by the difference", () => {
    const shift = shiftOf(pair("a", 0.1, 0.2, 0.6), pair("b", 0.3, 0.4, 0.8));
    expect(shiftPrediction(shift, 50)).toEqual({ weights: [1], means: [expect.closeTo(0.3, 12)], sds: [0] });
    expect(widthShiftPrediction(shift, 90, 50).means[0]).toBeCloseTo(0.4, 12);
    expect(widthShiftPrediction(shift, 50, 10).means[0]).toBeCloseTo(0.1, 12);
    const three = shiftOf(pair("a", 0, 0.2, 0), pair("b", 0, 0.3, 0), pair("c", 0, 0.4, 0));
    expect(mixtureQuantile(shiftPrediction(three, 50), 0.5)).toBeCloseTo(0.3, 3);
    expect(mixtureQuantile(shiftPrediction(three, 50), 0.9)).toBeGreaterThan(0.4);
  });
  test("two whole curves make a pair, an open one does not", () => {
    const curve = { edgesUm: [1, 10], undersize: [0, 1], power: 0 };
    const made = pairOfCurves("a", curve, { ...curve, edgesUm: [1.1, 11] });
    expect(made?.percents.length).toBe(13);
    for (const [i, size] of (made?.refiredUm ?? []).entries())
      expect(size / (made?.milledUm[i] ?? 1)).toBeCloseTo(1.1, 12);
    expect(pairOfCurves("a", { ...curve, undersize: [0.05, 1] }, curve)).toBeNull();
    expect(pairOfCurves("a", curve, { ...curve, undersize: [0, 0.9] })).toBeNull();
  });
  test("sizes of a re-fired curve never cross", () => {
    const folding = shiftOf(pair("a", 2, 0, 0));
    const { edgesUm } = refiredCurve(
      { edgesUm: [1, 1.5, 2, 3], undersize: [0.1, 0.3, 0.5, 1], power: 0 },
      folding,
    );
    expect(edgesUm.every((x, i) => x > (edgesUm[i - 1] ?? 0))).toBe(true);
    expect(edgesUm[0]).toBeCloseTo(Math.exp(2), 12);
  });
});

describe("mixtures of normals", () => {
  test("a sum adds means and variances of every pair, and multiplies weights", () => {
    const a = { weights: [0.25, 0.75], means: [1, 2], sds: [3, 0] };
    expect(sumOf(a, normal(10, 4))).toEqual({ weights: [0.25, 0.75], means: [11, 12], sds: [5, 4] });
    expect(negativeOf(a)).toEqual({ ...a, means: [-1, -2] });
  });
  test("thinning keeps the mean and the variance of the whole (law of total variance)", () => {
    const posterior = posteriorOf(
      [1, 2, 3, 4, 5].map((x) => [1, x]),
      [1, 2.2, 2.8, 4.1, 5.2],
      [
        { mean: 0, sd: 10 },
        { mean: 0, sd: 10 },
      ],
      { of: "scaled inverse χ²", degrees: 4, scale: 0.2 },
    );
    const thin = thinPosterior(posterior, 8);
    expect(thin.components.length).toBeLessThanOrEqual(8);
    expect(thinPosterior(thin, 8)).toBe(thin);
    const of = (p: typeof posterior) => {
      const { weights, means, sds } = predict(p, [1, 6]);
      const mean = weights.reduce((sum, w, k) => sum + w * (means[k] ?? 0), 0);
      const second = weights.reduce((sum, w, k) => sum + w * ((sds[k] ?? 0) ** 2 + (means[k] ?? 0) ** 2), 0);
      return [weights.reduce((a, b) => a + b, 0), mean, second - mean ** 2];
    };
    for (const [i, v] of of(thin).entries()) expect(v).toBeCloseTo(of(posterior)[i] ?? 0, 10);
  });
});

describe("the chance in band", () => {
  const rows = (...all: [string, number | null, number | null][]) =>
    judgedRows(
      all.map(([limit, low, high]) => ({ limit, low, high })),
      { coarse: true, fine: true },
    );
  const product = {
    d50: normal(Math.log(3), 0.1),
    coarse: normal(Math.log(1.8), 0.05),
    fine: normal(Math.log(1.7), 0.08),
  };
  /** Sums over a fine grid of ln D50: the independent route. */
  const direct = (
    d10: readonly [number, number] | null,
    d50: readonly [number, number],
    d90: readonly [number, number] | null,
  ) => {
    let sum = 0;
    const count = 20_000;
    const from = Math.max(Math.log(d50[0]), Math.log(3) - 0.8);
    const to = Math.min(Math.log(d50[1]), Math.log(3) + 0.8);
    const step = (to - from) / count;
    for (let i = 0; i < count; i++) {
      const y = from + (i + 0.5) * step;
      const z = (y - Math.log(3)) / 0.1;
      const density = Math.exp(-0.5 * z * z) / (0.1 * Math.sqrt(2 * Math.PI));
      const between = (mean: number, sd: number, low: number, high: number) =>
        normalForm.undersize((high - mean) / sd) - normalForm.undersize((low - mean) / sd);
      const coarse =
        d90 === null ? 1 : between(Math.log(1.8), 0.05, Math.log(d90[0]) - y, Math.log(d90[1]) - y);
      const fine =
        d10 === null ? 1 : between(Math.log(1.7), 0.08, y - Math.log(d10[1]), y - Math.log(d10[0]));
      sum += density * coarse * fine * step;
    }
    return sum;
  };
  test("D50 alone is a difference of two normal chances", () => {
    const wanted =
      normalForm.undersize(Math.log(3.2 / 3) / 0.1) - normalForm.undersize(Math.log(2.9 / 3) / 0.1);
    expect(chanceInBand(product, rows(["d50Um", 2.9, 3.2]))).toBeCloseTo(wanted, 5);
    expect(chanceInBand(product, rows(["d50Um", null, 3]))).toBeCloseTo(0.5, 5);
    expect(chanceInBand(product, rows(["d50Um", 3, null]))).toBeCloseTo(0.5, 5);
    expect(chanceInBand(product, rows(["d50Um", 30, 31]))).toBe(0);
  });
  test.each([
    [
      [1.6, 1.9],
      [2.8, 3.3],
      [5, 5.8],
    ],
    [null, [2.8, 3.3], [5, 5.8]],
    [[1.6, 1.9], [2.8, 3.3], null],
    [
      [1.6, 1.9],
      [0.1, 99],
      [5, 5.8],
    ],
  ] as const)("D10 %j, D50 %j, D90 %j at once, against a sum over a fine grid", (d10, d50, d90) => {
    const all: [string, number | null, number | null][] = [["d50Um", ...d50]];
    if (d10 !== null) all.push(["d10Um", ...d10]);
    if (d90 !== null) all.push(["d90Um", ...d90]);
    expect(chanceInBand(product, rows(...all))).toBeCloseTo(direct(d10, d50, d90), 5);
  });
  describe("with the shape of whole curves, here log-normal of σ 0.4, at ln D50 = ln 3 ± 0.1", () => {
    const sigma = 0.4;
    const edgesUm = Array.from({ length: 801 }, (_, i) => Math.exp(5 * sigma * (i / 400 - 1)));
    const shape = shapeOf({
      edgesUm,
      undersize: edgesUm.map((x, i) =>
        i === 0 ? 0 : i === 800 ? 1 : normalForm.undersize(Math.log(x) / sigma),
      ),
      power: 0,
    });
    if (shape === null) throw new Error("a whole curve has a shape");
    const tenth = 1.2815515655446004; // Φ⁻¹(0.9), any table
    const width = (sd: number) => normal(tenth * sigma, sd);
    const judge = (row: BandRow) =>
      judgedRows([row], { fine: true, coarse: true, shape, densityGPerCm3: 4.5 });
    // A width that scatters little beside D50, so that the normal chance of D50 is the answer.
    const chance = (row: BandRow, fineSd = 0.01, coarseSd = 0.01) =>
      chanceInBand(
        { d50: normal(Math.log(3), 0.1), fine: width(fineSd), coarse: width(coarseSd) },
        judge(row),
      );
    test("at most 3 % below 1.5 µm is D3 above 1.5 µm: a normal chance, with the width's scatter in it", () => {
      // Φ⁻¹(0.03) = −1.880794 (any table): D3 lies 1.880794/1.281552 widths below D50.
      const k = 1.8807936 / tenth;
      const wanted = normalForm.undersize(
        (Math.log(3) - k * tenth * sigma - Math.log(1.5)) / Math.sqrt(0.1 ** 2 + (k * 0.08) ** 2),
      );
      const row = { limit: "belowShare", sizeUm: 1.5, low: null, high: 0.03 };
      expect(chance(row, 0.08)).toBeCloseTo(wanted, 4);
    });
    test.each([0.3, 0.42, 0.45, 0.47, 0.495, 0.53, 0.6])(
      "at most %f below a size near the median turns within a sliver of ln D50: against a sum over a fine grid",
      (share) => {
        const widths = normal(tenth * sigma, 0.02);
        const product = { d50: normal(Math.log(3), 0.08), fine: widths, coarse: widths };
        for (const sizeUm of [2.7, 2.95, 3.1]) {
          const judged = judge({ limit: "belowShare", sizeUm, low: null, high: share });
          const count = 40_000;
          const step = 1.2 / count;
          let sum = 0;
          for (let i = 0; i < count; i++) {
            const z = -7.5 + (15 * (i + 0.5)) / count;
            const y = Math.log(3) + 0.08 * z;
            const chanceOf = ({
              least,
              most,
            }: {
              least: (y: number) => number;
              most: (y: number) => number;
            }) =>
              normalForm.undersize((most(y) - tenth * sigma) / 0.02) -
              normalForm.undersize((least(y) - tenth * sigma) / 0.02);
            const [asked] = [...judged.fine, ...judged.coarse];
            if (asked === undefined) throw new Error("the row is judged by one half");
            sum += ((Math.exp(-0.5 * z * z) * step) / (0.08 * Math.sqrt(2 * Math.PI))) * chanceOf(asked);
          }
          expect(Math.abs(chanceInBand(product, judged) - sum), `${sizeUm}`).toBeLessThan(5e-5);
        }
      },
    );
    test("a residue of at most 2 % above 7 µm is D98 below it", () => {
      const k = 2.0537489 / tenth;
      const wanted = normalForm.undersize(
        (Math.log(7) - Math.log(3) - k * tenth * sigma) / Math.sqrt(0.1 ** 2 + (k * 0.08) ** 2),
      );
      expect(chance({ limit: "belowShare", sizeUm: 7, low: 0.98, high: null }, 0.01, 0.08)).toBeCloseTo(
        wanted,
        4,
      );
    });
    test("any other percentile, here D25, goes by its own number of widths", () => {
      const ln = Math.log(3) - 0.6744898 * sigma;
      const row = { limit: "d25Um", low: Math.exp(ln), high: null };
      expect(chance(row)).toBeCloseTo(0.5, 4);
    });
    test("area, D[3,2] and D[4,3] of a log-normal: 6/ρ·exp(σ²/2)/D50, its inverse, and exp(σ²/2)·D50", () => {
      const mean = Math.exp(sigma ** 2 / 2);
      const area = ((6 / 4.5) * mean) / 3;
      expect(chance({ limit: "surfaceM2PerG", low: null, high: area })).toBeCloseTo(0.5, 2);
      expect(
        chance({ limit: "surfaceM2PerG", low: area * Math.exp(-0.1), high: area * Math.exp(0.1) }),
      ).toBeCloseTo(normalForm.undersize(1) - normalForm.undersize(-1), 2);
      expect(chance({ limit: "sauterUm", low: 3 / mean, high: null })).toBeCloseTo(0.5, 2);
      expect(chance({ limit: "deBrouckereUm", low: null, high: 3 * mean * Math.exp(0.1) })).toBeCloseTo(
        normalForm.undersize(1),
        2,
      );
    });
    test("without a shape, or beyond it, such a row is not judged", () => {
      const row = { limit: "belowShare", sizeUm: 1, low: null, high: 0.03 };
      expect(judgedRows([row], { fine: true, coarse: true }).notJudged).toEqual([row]);
      expect(judge({ ...row, high: 0 }).alone).toEqual([]);
      expect(judge({ limit: "span", low: 1, high: 2 }).alone).toEqual([]);
      expect(productShape([])).toBeNull();
    });
  });
  test.each([
    { slope: -1, r: 0 },
    { slope: -0.4, r: 0.6 },
    { slope: 0.3, r: -0.5 },
  ])(
    "widths that go with D50 (slope $slope) and with each other (r $r): against draws of the three",
    ({ slope, r }) => {
      const given = (mean: number, sd: number) => ({
        ...normal(mean, sd),
        byD50: { middle: Math.log(3), slopes: [slope], crosses: [0], squares: [0] },
      });
      const joint = {
        d50: normal(Math.log(3), 0.08),
        coarse: given(Math.log(1.8), 0.05),
        fine: given(Math.log(1.7), 0.06),
        widthsCorrelation: r,
      };
      const asked = { d10Um: [1.6, 1.95], d50Um: [2.8, 3.3], d90Um: [5, 5.8] } as const;
      const judged = rows(
        ...Object.entries(asked).map(
          ([limit, [low, high]]) => [limit, low, high] as [string, number, number],
        ),
      );
      // Midpoints of equal shares of three normal values.
      const count = 120;
      const z = Array.from({ length: count }, (_, i) => normalDeviate((i + 0.5) / count));
      let inside = 0;
      for (const a of z)
        for (const b of z)
          for (const c of z) {
            const e = 0.08 * a;
            const d50 = Math.log(3) + e;
            const d90 = d50 + Math.log(1.8) + slope * e + 0.05 * b;
            const d10 = d50 - (Math.log(1.7) + slope * e + 0.06 * (r * b + Math.sqrt(1 - r * r) * c));
            const lies = (ln: number, [low, high]: readonly [number, number]) =>
              ln > Math.log(low) && ln < Math.log(high);
            if (lies(d10, asked.d10Um) && lies(d50, asked.d50Um) && lies(d90, asked.d90Um)) inside++;
          }
      expect(Math.abs(chanceInBand(joint, judged) - inside / count ** 3)).toBeLessThan(0.006);
      // ln D90 = ln D50 + width: variance (1 + slope)² 0.08² + 0.05²; ln D10 likewise with (1 − slope).
      const sdOf = (side: 1 | -1, width: typeof joint.coarse) => endOf(joint.d50, width, side, 8).sds[0];
      expect(sdOf(1, joint.coarse)).toBeCloseTo(Math.hypot((1 + slope) * 0.08, 0.05), 12);
      expect(sdOf(-1, joint.fine)).toBeCloseTo(Math.hypot((1 - slope) * 0.08, 0.06), 12);
    },
  );
  test("rows that are not predicted are named and not counted", () => {
    const judged = judgedRows(
      [
        { limit: "d10Um", low: 1, high: 2 },
        { limit: "d50Um", low: 2, high: 4 },
        { limit: "d90Um", low: 5, high: 6 },
        { limit: "span", low: 1, high: 2 },
      ],
      { coarse: null, fine: true },
    );
    expect(judged.notJudged.map((r) => r.limit)).toEqual(["d90Um", "span"]);
    expect(judged.alone.map(({ row }) => row.limit)).toEqual(["d10Um", "d50Um"]);
    expect(judged.coarse).toEqual([]);
    // ln(D50/D10) lies between y − ln 2 and y − ln 1 at ln D50 = y.
    expect(judged.fine.map((f) => [f.least(1), f.most(1)])).toEqual([[1 - Math.log(2), 1]]);
    expect(isJudged(judged)).toBe(true);
    expect(isJudged(judgedRows([{ limit: "span", low: 1, high: 2 }], { coarse: true, fine: true }))).toBe(
      false,
    );
    for (const limit of ["d10Um", "d50Um", "d90Um"]) expect(isJudged(rows([limit, 1, 2]))).toBe(true);
  });
});

describe("how a size breaks", () => {
  test("a power law and Austin's sum, whole from the piece's own size on", () => {
    const power = fragmentsBelow({ kind: "power", exponent: 2 });
    expect([power(0.5), power(1), power(1.5)]).toEqual([0.25, 1, 1]);
    const austin = fragmentsBelow({ kind: "austin", share: 0.25, exponentFine: 1, exponentCoarse: 2 });
    expect(austin(0.5)).toBeCloseTo(0.25 * 0.5 + 0.75 * 0.25, 14);
    expect([austin(1), austin(2)]).toEqual([1, 1]);
  });
  test("Broadbent and Callcott's (1956): (1 − exp(−z))/(1 − exp(−1)), by its first digits and its small z", () => {
    const theirs = fragmentsBelow({ kind: "broadbent-callcott", exponent: 1 });
    // (1 − 0.6065306597)/(1 − 0.3678794412), and (1 − 0.4930686914)/(1 − 0.3678794412) at 1/√2: by hand from e^−x tables.
    expect(theirs(0.5)).toBeCloseTo(0.3934693403 / 0.6321205588, 9);
    expect(theirs(Math.SQRT1_2)).toBeCloseTo(0.5069313086 / 0.6321205588, 9);
    expect(theirs(1e-9) / (1e-9 / 0.6321205588285577)).toBeCloseTo(1, 8);
    expect([theirs(1), theirs(3)]).toEqual([1, 1]);
    const squared = fragmentsBelow({ kind: "broadbent-callcott", exponent: 2 });
    expect(squared(0.5)).toBeCloseTo(theirs(0.25), 14);
  });
  test("the rate goes with size to an exponent, and nothing breaks at the limit or below", () => {
    const rate = breakingPerS({ at1UmPerS: 0.5, exponent: 2, grindingLimitUm: 1 });
    expect([rate(0.5), rate(1), rate(3)]).toEqual([0, 0, 4.5]);
  });
  test.each([
    ["exponent", () => fragmentsBelow({ kind: "power", exponent: 0 })],
    ["exponent", () => fragmentsBelow({ kind: "broadbent-callcott", exponent: 0 })],
    ["exponent", () => fragmentsBelow({ kind: "power", exponent: Number.POSITIVE_INFINITY })],
    [
      "exponentFine",
      () => fragmentsBelow({ kind: "austin", share: 0.5, exponentFine: 0, exponentCoarse: 1 }),
    ],
    [
      "exponentCoarse",
      () => fragmentsBelow({ kind: "austin", share: 0.5, exponentFine: 1, exponentCoarse: 0 }),
    ],
    ["share", () => fragmentsBelow({ kind: "austin", share: 1.1, exponentFine: 1, exponentCoarse: 1 })],
    ["share", () => fragmentsBelow({ kind: "austin", share: -0.1, exponentFine: 1, exponentCoarse: 1 })],
    ["rateAt1UmPerS", () => breakingPerS({ at1UmPerS: -1, exponent: 1, grindingLimitUm: 0 })],
    ["rateAt1UmPerS", () => breakingPerS({ at1UmPerS: Number.NaN, exponent: 1, grindingLimitUm: 0 })],
    ["rateExponent", () => breakingPerS({ at1UmPerS: 1, exponent: Number.NaN, grindingLimitUm: 0 })],
  ])("%s out of range is refused", (name, ask) => expect(ask).toThrow(new RegExp(name)));
});

describe("what the wheel's answer says", () => {
  const trials = [4000, 5000, 6000, 7000].map(
    (speedRpm): Trial => ({
      speedRpm,
      gasFlowM3PerH: 100,
      feedKgPerH: 5,
      d10Um: null,
      d50Um: 12_000 / speedRpm,
      d90Um: null,
    }),
  );
  const band = (stage: string, high: number | null = 2.6): Band => ({
    version: 1,
    name: "b",
    stage,
    densityGPerCm3: null,
    rule: "simple",
    rows: [{ limit: "d50Um", low: 2, high }],
    envelope: null,
  });
  const ask = (options: Parameters<typeof wheelAnswer>[2]) =>
    wheelAnswer(mill, trials, { wantsBest: false, ...options });
  test("the milled product, with its interval and what it rests on", () => {
    const a = ask({ speedRpm: 5000 });
    expect(a.words.product).toMatch(
      /^At 5,000 rpm the expected D50 of the milled powder is 2\.4\d µm \(90 %: \S+; four trials\)\.$/,
    );
    expect(a.words.physics).toMatch(
      /^The calculated classifier cut is \S+ µm\. The product's D50 is \S+ times the cut/,
    );
    expect(ask({ targetD50Um: 2.4 }).words.physics).toBe("");
    expect(ask({}).sentence).toBe("Give a wheel speed or a target D50.");
    expect(wheelAnswer(mill, [], { speedRpm: 5000 }).words.product).toMatch(
      /starting assumption \(prior\) alone, no trials/,
    );
  });
  test("in one breath: the sizes and the chance", () => {
    expect(ask({ speedRpm: 5000 }).words.short).toMatch(
      /^Expected D50 at 5,000 rpm: 2\.4\d µm milled \(90 %: \S+\)\.$/,
    );
    const refire = [pair("a", 0.1, 0.1, 0.1)];
    expect(ask({ speedRpm: 5000, band: band("re-fired"), refire }).words.short).toMatch(
      /^Expected D50 at 5,000 rpm: 2\.4\d µm milled \(90 %: \S+\) and 2\.\d\d µm re-fired \(\S+\); \d+ % chance of being in band\.$/,
    );
    expect(ask({ targetD50Um: 2.4 }).words).toMatchObject({ short: "", rests: "" });
  });
  test("of two limits one is the least likely; one alone has none", () => {
    const of = (...limits: string[]) =>
      wheelAnswer(demoMill, demoTrials, {
        wantsBest: false,
        speedRpm: 6000,
        band: {
          ...demoBand,
          stage: "milled",
          envelope: null,
          rows: demoBand.rows.filter(({ limit }) => limits.includes(limit)),
        },
      }).inBand;
    const both = of("d50Um", "d90Um");
    expect(both?.counted).toEqual(["D50", "D90"]);
    const [d50, d90] = [of("d50Um"), of("d90Um")];
    expect(both?.leastLikely?.probability).toBe(Math.min(d50?.probability ?? 2, d90?.probability ?? 2));
    expect([d50?.leastLikely, d90?.leastLikely]).toEqual([null, null]);
  });
  test("what that rests on: trials, lots, and the rows that count", () => {
    expect(ask({ speedRpm: 5000 }).words.rests).toBe("Based on: four trials.");
    const refire = [pair("a", 0.1, 0.1, 0.1)];
    expect(ask({ speedRpm: 5000, band: band("re-fired"), refire }).words.rests).toMatch(
      /^Based on: four trials\. Re-firing raised the D50 of one lot by 11 % on average; the interval is from the scatter of the mill alone, since the scatter of re-firing needs at least three lots\. The chance of being in band covers D50\.$/,
    );
  });
  test("the chance in band speaks of the stage, and of the rows that count", () => {
    expect(ask({ speedRpm: 5000, band: band("milled") }).words.product).toMatch(
      /For the milled powder, the chance of being in band is \d+ % \(D50\)\.$/,
    );
    expect(ask({ speedRpm: 5000, band: band("re-fired") }).words.product).toMatch(
      /For the milled powder, the chance of being in band is/,
    );
    const refire = [pair("a", 0.1, 0.1, 0.1)];
    const refired = ask({ speedRpm: 5000, band: band("re-fired"), refire });
    expect(refired.words.product).toMatch(/For the re-fired powder, the chance of being in band is/);
    // e^0.1 = 1.105
    expect(refired.words.product).toMatch(/re-firing raised the D50 of one lot by 11 % on average/);
    expect(ask({ speedRpm: 5000, refire: [pair("a", -0.1, -0.1, -0.1)] }).words.product).toMatch(
      /re-firing lowered the D50 of one lot by 9\.5 %/,
    );
    const set = refired.targetBeforeRefiring.find((row) => row.limit === "d50Um");
    expect(set?.low).toBeCloseTo(2 * Math.exp(-0.1), 12);
    expect(set?.high).toBeCloseTo(2.6 * Math.exp(-0.1), 12);
    expect(ask({ speedRpm: 5000, band: band("milled"), refire }).targetBeforeRefiring).toEqual([]);
  });
  test("without a re-fired lot: how much growth the band would bear", () => {
    expect(ask({ speedRpm: 5000, band: band("re-fired") }).warnings[0]).toMatch(
      /if it grew by more than \d\.\d %\.$/,
    );
    expect(ask({ speedRpm: 5000, band: band("re-fired", 2.1) }).warnings[0]).toMatch(
      /The D50 of the milled powder is already above the band\.$/,
    );
    expect(ask({ speedRpm: 5000, band: band("re-fired", null) }).warnings[0]).toMatch(/is not known\.$/);
    expect(ask({ speedRpm: 5000, band: band("milled") }).warnings).toEqual([]);
  });
  test("the speed for a target says which tail lies where", () => {
    const { words, speedRpm } = ask({ targetD50Um: 2.4 });
    const inThree = (v: number | null | undefined) => Number((v ?? 0).toPrecision(3)).toLocaleString("en-GB");
    expect(words.target).toContain(
      `Set ${inThree(speedRpm?.median)} rpm (90 %: ${inThree(speedRpm?.low)}–${inThree(speedRpm?.high)} rpm; four trials) for D50 2.40 µm milled.`,
    );
    expect(ask({ targetD50Um: 1.21 }).words.target).toMatch(
      /its upper end above the highest permitted speed/,
    );
    // Hardly faster than the slowest that the trials may be believed for, the slow tail lies beyond it.
    const slowest = Math.min(...trials.map((t) => t.speedRpm)) / 1.5;
    const coarse = ask({ speedRpm: 1.01 * slowest }).d50Um?.median ?? 0;
    expect(ask({ targetD50Um: coarse }).words.target).toMatch(
      /up to [\d,]+ rpm, its lower end below the predictable speeds/,
    );
    expect(ask({ targetD50Um: 0.12345 }).words.refused).toMatch(/D50 0\.123 µm is not reached at/);
  });
  test.each([
    ["flowM3PerH", { flowM3PerH: 0 }],
    ["feedKgPerH", { feedKgPerH: -1 }],
    ["targetD50Um", { targetD50Um: 0 }],
    ["level", { level: 0 }],
    ["level", { level: 1 }],
  ])("%s out of range is refused", (name, change) =>
    expect(() => ask({ speedRpm: 5000, ...change })).toThrow(new RegExp(name)),
  );
  test("a row the trials do not speak of is told", () => {
    const wide = {
      ...band("milled"),
      rows: [...band("milled").rows, { limit: "span", low: null, high: 1.5 }],
    };
    expect(ask({ speedRpm: 5000, band: wide }).problems[0]?.message).toMatch(
      /does not include the span\. Check it when the run is measured\.$/,
    );
    expect(ask({ speedRpm: 5000, band: band("milled") }).problems).toEqual([]);
    const envelope = { sizesUm: [1, 4], lowShares: [0, 0.8], highShares: [0.3, 1] };
    expect(ask({ speedRpm: 5000, band: { ...band("milled"), envelope } }).problems[0]?.message).toMatch(
      /does not include the envelope/,
    );
  });
});

test("a chance below grows from nothing to all", () => {
  const p = normal(0, 1);
  expect(chanceBelow(p, -40)).toBe(0);
  expect(chanceBelow(p, 40)).toBe(1);
});
