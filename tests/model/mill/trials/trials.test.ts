import { describe, expect, test } from "vitest";
import { normalForm } from "#distributions/families/normalForm.ts";
import { gasState } from "#model/mill/gas/gas.ts";
import { parseMill } from "#model/mill/mill.ts";
import { posteriorOf, predict } from "#model/mill/trials/posterior.ts";
import { predictedCurve } from "#model/mill/trials/predictedCurve.ts";
import {
  aboveRated,
  contradicting,
  oddTrial,
  tooFarOutside,
  warningsAt,
} from "#model/mill/trials/refusals.ts";
import { speedForD50, speedLimits } from "#model/mill/trials/setPoint.ts";
import type { Trial } from "#model/mill/trials/trial.ts";
import { fitTrials, meanExponents, predictD50, predictionAt } from "#model/mill/trials/trialFit.ts";
import { tipSpeedMPerS, wheelCut } from "#model/mill/wheel/cut.ts";
import { chanceBelow, mixtureQuantile } from "#model/numbers/normalMixture.ts";
import { smallMill as mill } from "../smallMill.ts";

const trial = (speedRpm: number, d50Um: number, more: Partial<Trial> = {}): Trial => ({
  speedRpm,
  gasFlowM3PerH: null,
  feedKgPerH: null,
  d10Um: null,
  d50Um,
  d90Um: null,
  ...more,
});
/** Exactly D50 = 12000/n · (flow/100)^0.5 · (feed/5)^0.2. */
const lawful = (speedRpm: number, flow: number, feed: number) =>
  trial(speedRpm, (12_000 / speedRpm) * (flow / 100) ** 0.5 * (feed / 5) ** 0.2, {
    gasFlowM3PerH: flow,
    feedKgPerH: feed,
  });
const many = [3000, 5500, 8000].flatMap((n) =>
  [80, 120].flatMap((flow) => [4, 8].map((feed) => lawful(n, flow, feed))),
);

describe("a law learned from many trials that follow one", () => {
  const fit = fitTrials(mill, many);
  test("its reference is the geometric mean of what was tried (definition)", () => {
    const mean = (values: readonly number[]) =>
      Math.exp(values.reduce((sum, v) => sum + Math.log(v), 0) / values.length);
    expect(fit.reference.speedRpm).toBeCloseTo(mean(many.map((t) => t.speedRpm)), 8);
    expect(fit.reference.flowM3PerH).toBeCloseTo(mean(many.map((t) => t.gasFlowM3PerH ?? 0)), 8);
    expect(fit.reference.feedKgPerH).toBeCloseTo(mean(many.map((t) => t.feedKgPerH ?? 0)), 8);
    expect(fit.basis).toBe("trials");
  });
  test.each([
    [5000, 100, 5],
    [5000, 130, 5],
    [5000, 100, 8],
    [7500, 90, 4],
  ])(
    "at %i rpm, %i m³/h and %i kg/h it gives the law's D50 within 1 %%",
    (speedRpm, flowM3PerH, feedKgPerH) => {
      const wanted = lawful(speedRpm, flowM3PerH, feedKgPerH).d50Um;
      const { median, low, high, level } = predictD50(fit, { speedRpm, flowM3PerH, feedKgPerH }, 0.9);
      expect(Math.abs(median / wanted - 1)).toBeLessThan(0.01);
      expect(level).toBe(0.9);
      // The interval's ends are the 5 % and 95 % quantiles of the prediction. These trials have no noise, so that the last digit
      // of a quantile moves the chance of the median by some 1e-9.
      const prediction = predictionAt(fit, { speedRpm, flowM3PerH, feedKgPerH });
      expect(chanceBelow(prediction, Math.log(low))).toBeCloseTo(0.05, 9);
      expect(chanceBelow(prediction, Math.log(high))).toBeCloseTo(0.95, 9);
      expect(chanceBelow(prediction, Math.log(median))).toBeCloseTo(0.5, 8);
    },
  );
  test("an unknown feed is the trials' own", () => {
    const at = { speedRpm: 5000, flowM3PerH: 100 };
    expect(predictD50(fit, { ...at, feedKgPerH: null }, 0.9).median).toBeCloseTo(
      predictD50(fit, { ...at, feedKgPerH: fit.reference.feedKgPerH }, 0.9).median,
      12,
    );
  });
  test("no trial is odd; one that is tripled is, by its place and with |z| over 3.5", () => {
    expect(fit.leaveOneOutZ.length).toBe(many.length);
    expect(oddTrial(fit)).toBeNull();
    const odd = fitTrials(
      mill,
      many.map((t, i) => (i === 7 ? { ...t, d50Um: t.d50Um / 3 } : t)),
    );
    expect(odd.leaveOneOutZ[7]).toBeLessThan(-3.5);
    expect(oddTrial(odd)?.reason).toMatch(/^trial 8 \(5,500 rpm/);
  });
  test("a trial without flow or feed ran at the reference", () => {
    const bare = [trial(4000, 3), trial(6000, 2), lawful(5000, 110, 6)];
    const filled = bare.map((t) => ({ ...t, gasFlowM3PerH: 110, feedKgPerH: 6 }));
    const at = { speedRpm: 5500, flowM3PerH: 120, feedKgPerH: 7 };
    const wanted = predictD50(fitTrials(mill, filled), at, 0.9);
    expect(predictD50(fitTrials(mill, bare), at, 0.9).median).toBeCloseTo(wanted.median, 10);
  });
});

describe("with few trials or none", () => {
  test("three trials are held against one another, two are not", () => {
    expect(fitTrials(mill, many.slice(0, 3)).leaveOneOutZ.length).toBe(3);
    expect(fitTrials(mill, many.slice(0, 2)).leaveOneOutZ).toEqual([]);
  });
  test("without trials it is the prior about 0.7 of the cut at half the rated speed", () => {
    const fit = fitTrials(mill, []);
    expect(fit.basis).toBe("prior");
    expect(fit.reference).toEqual({ speedRpm: 5000, flowM3PerH: 100, feedKgPerH: null });
    const { median, low, high } = predictD50(fit, fit.reference, 0.9);
    expect(median).toBeCloseTo(0.7 * wheelCut(mill, 5000, 100).cutUm, 6);
    // A normal of SD 0.7 and noise of a half Cauchy of scale 0.1, by quadrature and root finding of SciPy.
    expect(Math.log(high / low)).toBeCloseTo(2.69293, 2);
    // The exponents' priors: −1 by speed, 0.5 by flow, with their deviations 0.5 (and 0.5 of the bend) and 0.25.
    const faster = predictD50(fit, { ...fit.reference, speedRpm: 10_000 }, 0.9);
    expect(Math.log2(faster.median / median)).toBeCloseTo(-1, 6);
    expect(Math.log(faster.high / faster.low)).toBeCloseTo(3.0734, 2);
    const more = predictD50(fit, { ...fit.reference, flowM3PerH: 200 }, 0.9);
    expect(Math.log2(more.median / median)).toBeCloseTo(0.5, 6);
  });
  test("the feed's prior exponent is 0.1", () => {
    const fit = fitTrials(mill, [lawful(5000, 100, 5)]);
    expect(meanExponents(fit.posterior)[3]).toBeCloseTo(0.1, 12);
  });
  test("nothing to refer to is refused", () => {
    expect(() => fitTrials({ ...mill, ratedSpeedRpm: null }, [])).toThrow(/ratedSpeedRpm/);
  });
});

describe("the posterior and its predictions", () => {
  test("one known normal is its own mixture: quantiles of the normal curve", () => {
    const normal = { weights: [1], means: [2], sds: [0.5] };
    expect(chanceBelow(normal, 2.5)).toBeCloseTo(normalForm.undersize(1), 14);
    // Standard normal table: 1.959964 at 97.5 %.
    expect(mixtureQuantile(normal, 0.975)).toBeCloseTo(2 + 0.5 * 1.959964, 6);
    expect(mixtureQuantile(normal, 0.5)).toBeCloseTo(2, 11);
  });
  test.each([0.001, 0.05, 0.5, 0.9, 0.9999])(
    "a quantile of %f of two far normals has that chance below it",
    (p) => {
      const apart = { weights: [0.2, 0.8], means: [-5, 3], sds: [0.1, 1.5] };
      expect(chanceBelow(apart, mixtureQuantile(apart, p))).toBeCloseTo(p, 10);
    },
  );
  test("without run noise the law itself is surer", () => {
    const posterior = posteriorOf([[1], [1], [1], [1]], [0.9, 1.1, 1, 1.05], [{ mean: 0, sd: null }], "flat");
    const law = predict(posterior, [1], false);
    const run = predict(posterior, [1]);
    const width = (of: typeof law) => mixtureQuantile(of, 0.95) - mixtureQuantile(of, 0.05);
    // A run's variance is σ² + σ²/4, the law's is σ²/4: a ratio of √5 of the widths.
    expect(width(run) / width(law)).toBeCloseTo(Math.sqrt(5), 3);
    expect(posterior.components.reduce((sum, c) => sum + c.weight, 0)).toBeCloseTo(1, 12);
  });
});

describe("limits of speed and what lies outside the trials", () => {
  const fit = fitTrials(mill, many);
  const at = { flowM3PerH: 100, feedKgPerH: 5 };
  test("the rated speed itself is allowed", () => {
    expect(aboveRated(mill, 10_000)).toBeNull();
    expect(aboveRated(mill, 10_001)?.reason).toBe("10,001 rpm is above the rated 10,000 rpm");
    expect(aboveRated({ ...mill, ratedSpeedRpm: null }, 99_999)).toBeNull();
  });
  test("1.5 times beyond what was tried, never above the rating", () => {
    expect(speedLimits(fit, 20_000)).toEqual({ lowestRpm: 2000, highestRpm: 12_000 });
    expect(speedLimits(fit, 10_000).highestRpm).toBe(10_000);
    expect(speedLimits(fitTrials(mill, []), 10_000)).toEqual({ lowestRpm: 1000, highestRpm: 10_000 });
  });
  test("1.5 times outside is predicted, more is refused, in each factor", () => {
    expect(tooFarOutside(fit, { ...at, speedRpm: 12_000 })).toBeNull();
    expect(tooFarOutside(fit, { ...at, speedRpm: 12_100 })?.reason).toMatch(
      /the speed of 12,100 rpm lies a factor of 1\.51 outside your trials \(3,000–8,000 rpm\)/,
    );
    expect(tooFarOutside(fit, { ...at, speedRpm: 1990 })?.reason).toMatch(
      /the speed of 1,990 rpm lies a factor of 1\.51/,
    );
    expect(tooFarOutside(fit, { ...at, speedRpm: 5000, flowM3PerH: 300 })?.reason).toMatch(/gas flow/);
    expect(tooFarOutside(fit, { ...at, speedRpm: 5000, feedKgPerH: 1 })?.reason).toMatch(/feed of 1 kg\/h/);
    expect(tooFarOutside(fit, { ...at, speedRpm: 5000, feedKgPerH: null })).toBeNull();
    expect(tooFarOutside(fitTrials(mill, []), { ...at, speedRpm: 99_999 })).toBeNull();
  });
  test("what is predicted all the same is warned of", () => {
    expect(warningsAt(fit, false, { ...at, speedRpm: 5000 }, 2.4)).toEqual([]);
    expect(warningsAt(fit, false, { ...at, speedRpm: 8800 }, 2.4)).toEqual([
      "This is an extrapolation: the speed is 10 % above the highest of your trials.",
    ]);
    expect(warningsAt(fit, false, { ...at, speedRpm: 8160 }, 2.4)).toEqual([
      "The speed is 2.0 % above the highest of your trials.",
    ]);
    expect(warningsAt(fit, false, { ...at, speedRpm: 2700 }, 2.4)).toEqual([
      "This is an extrapolation: the speed is 10 % below the lowest of your trials.",
    ]);
    expect(warningsAt(fit, false, { ...at, speedRpm: 99_999 }, 2.4)).toEqual([]);
    const finest = Math.min(...many.map((t) => t.d50Um));
    expect(warningsAt(fit, false, null, 0.71 * finest)).toEqual([]);
    expect(warningsAt(fit, false, null, 0.69 * finest)[0]).toMatch(/below 0.7 times your finest/);
    expect(warningsAt(fitTrials(mill, []), false, null, 0.001)).toHaveLength(1);
    const oneSpeed = fitTrials(mill, [trial(5000, 2.4), trial(5000, 2.5)]);
    expect(warningsAt(oneSpeed, false, null, null)[0]).toMatch(/All trials ran at one speed/);
    expect(warningsAt(fitTrials(mill, [trial(5000, 2.4), trial(6000, 2)]), false, null, null)).toEqual([]);
  });
  test("a suggested speed has its target as the median D50 there, and its ends as the quantiles", () => {
    const speed = speedForD50(fit, 2, at, 10_000, 0.9);
    if (speed === null) throw new Error("the target lies within the limits");
    const chanceAt = (speedRpm: number) => chanceBelow(predictionAt(fit, { ...at, speedRpm }), Math.log(2));
    expect(chanceAt(speed.median)).toBeCloseTo(0.5, 6);
    // The slow end is where only 5 % of runs are above… the low quantile of D50 crosses the target there.
    expect(chanceAt(speed.low ?? 0)).toBeCloseTo(0.05, 6);
    expect(chanceAt(speed.high ?? 0)).toBeCloseTo(0.95, 6);
    expect(speed.low ?? 0).toBeLessThan(speed.median);
    expect(speed.reachProbability).toBeCloseTo(chanceAt(10_000), 12);
    expect(speed.level).toBe(0.9);
  });
  test("a target beyond either limit has no speed; an end beyond a limit is null", () => {
    expect(speedForD50(fit, 20, at, 10_000, 0.9)).toBeNull();
    expect(speedForD50(fit, 0.2, at, 10_000, 0.9)).toBeNull();
    const fastest = predictD50(fit, { ...at, speedRpm: 10_000 }, 0.9);
    expect(speedForD50(fit, fastest.median * 1.0001, at, 10_000, 0.9)?.high).toBeNull();
  });
});

describe("the predicted curve", () => {
  const curve = { edgesUm: [1, 4, 16], undersize: [0, 0.5, 1], power: 0 };
  const trials = [3000, 6000].map((speedRpm) => ({ name: `at ${speedRpm}`, speedRpm, curve }));
  test("comes from the trial nearest in ln speed, slid to the predicted median", () => {
    // √(3000 · 6000) = 4242.6 divides them.
    expect(predictedCurve(trials, 4200, 2)?.from.name).toBe("at 3000");
    expect(predictedCurve(trials, 4300, 2)?.from.name).toBe("at 6000");
    expect(predictedCurve(trials, 4300, 2)?.curve.edgesUm).toEqual([0.5, 2, 8]);
  });
  test("is none where the trial's median is not known", () => {
    const open = { ...curve, undersize: [0.6, 0.8, 1] };
    expect(predictedCurve([{ name: "open", speedRpm: 3000, curve: open }], 3000, 2)).toBeNull();
  });
});

describe("wheel and gas", () => {
  test("rim speed is 2πrn (worked by hand)", () => {
    expect(tipSpeedMPerS(mill, 6000)).toBeCloseTo(10 * Math.PI, 12);
    expect(wheelCut(mill, 6000, 100).tipSpeedMPerS).toBeCloseTo(10 * Math.PI, 12);
  });
  test("by Stokes's law the cut goes with √flow over speed (identity)", () => {
    const at = (n: number, q: number) => wheelCut(mill, n, q).stokesCutUm;
    expect(at(0.5, 100) / at(1, 100)).toBeCloseTo(2, 12);
    expect(at(6000, 0.4) / at(6000, 0.1)).toBeCloseTo(2, 12);
    const slower = wheelCut({ ...mill, swirlRatio: 0.5 }, 6000, 100).stokesCutUm;
    expect(slower / at(6000, 100)).toBeCloseTo(2, 12);
    const narrow = wheelCut({ ...mill, freeAreaShare: 0.175 }, 6000, 100).stokesCutUm;
    expect(narrow / at(6000, 100)).toBeCloseTo(2, 12);
  });
  test.each([
    ["speedRpm", () => wheelCut(mill, 0, 100)],
    ["flowM3PerH", () => wheelCut(mill, 6000, 0)],
    ["particleDensityGPerCm3", () => wheelCut({ ...mill, particleDensityGPerCm3: 0.001 }, 6000, 100)],
    ["temperatureK", () => gasState("air", 0, 101_325)],
    ["pressurePa", () => gasState("air", 300, 0)],
  ])("%s out of range is refused", (name, ask) => expect(ask).toThrow(new RegExp(name)));
  test("gas at half a kelvin and half a pascal is still gas", () => {
    expect(gasState("air", 0.5, 0.5).densityKgPerM3).toBeCloseTo((0.5 * 0.0289647) / (8.314462618 * 0.5), 9);
  });
  test("steam at 373.15 K and 1 atm within 5 % of the saturated vapour table (12.27 µPa s, from memory)", () => {
    expect(Math.abs((gasState("steam", 373.15, 101_325).viscosityPaS * 1e6) / 12.27 - 1)).toBeLessThan(0.05);
  });
});

describe("a mill as it is written down", () => {
  const read = (change: Record<string, unknown>) => parseMill({ ...mill, ...change }, "mill.json");
  test("a good one comes back as it was; swirl and rating may be left out", () => {
    expect(read({}).mill).toMatchObject(mill);
    expect(read({ swirlRatio: undefined, ratedSpeedRpm: undefined }).mill).toMatchObject({
      ...mill,
      swirlRatio: 1,
      ratedSpeedRpm: null,
    });
    expect(read({ ratedSpeedRpm: null }).mill?.ratedSpeedRpm).toBeNull();
    expect(read({ freeAreaShare: 1, temperatureC: -273, swirlRatio: 0.5 }).problems).toEqual([]);
  });
  test.each([
    ["wheelRadiusM", 0],
    ["wheelRadiusM", "5 cm"],
    ["wheelHeightM", Number.POSITIVE_INFINITY],
    ["freeAreaShare", 1.01],
    ["pressurePa", -1],
    ["temperatureC", -273.15],
    ["temperatureC", -280],
    ["temperatureC", "warm"],
    ["gas", "helium"],
    ["swirlRatio", 0],
    ["ratedSpeedRpm", -5],
  ])("%s of %j is refused by name", (name, value) => {
    const { mill: none, problems } = read({ [name]: value });
    expect(none).toBeNull();
    expect(problems).toHaveLength(1);
    expect(problems[0]?.expected?.startsWith(`${name}: `)).toBe(true);
  });
  test("a name it does not know, a list and a word are refused", () => {
    expect(read({ colour: "red" }).problems[0]?.found).toBe("colour");
    for (const bad of [[], null, "mill", 3]) expect(parseMill(bad, null).problems).toHaveLength(1);
  });
});

test("a trial is odd beyond 3.5 among twelve or fewer, farther among many: 4.2 of 200 (Bonferroni)", () => {
  const among = (trials: number, z: number) =>
    contradicting([z, ...Array.from({ length: trials - 1 }, () => 0)], () => "it") !== null;
  expect([among(4, 3.45), among(4, 3.55), among(12, 3.55)]).toEqual([false, true, true]);
  // Φ(−3.5)·12/200 = 1.396e-5 on one side, whose normal deviate is −4.19 (tables).
  expect([among(200, 4.15), among(200, 4.25)]).toEqual([false, true]);
});
