import { describe, expect, test } from "vitest";
import {
  formSentence,
  oddPairSentence,
  predictedBetSentence,
} from "#model/answers/surface/predictedBetWords.ts";
import { lineThrough, predictionSd } from "#model/numbers/line.ts";
import { tQuantile } from "#model/numbers/studentT.ts";
import { type BetPair, betResult, isM2PerG, whyNotCompared } from "#model/surface/bet.ts";
import { formErrors } from "#model/surface/betForm.ts";
import { predictedBet } from "#model/surface/predictedBet.ts";
import { readPairs } from "#model/surface/readPairs.ts";
import { staleness } from "#model/surface/stale.ts";

const pair = (geometricM2PerG: number, betM2PerG: number, more: Partial<BetPair> = {}): BetPair => ({
  stage: "re-fired",
  geometricM2PerG,
  betM2PerG,
  ...more,
});
const three = [pair(0.5, 0.6), pair(0.5, 0.65), pair(0.5, 0.7)];
const logs = three.map((p) => Math.log(p.betM2PerG / p.geometricM2PerG));
const middle = logs.reduce((a, b) => a + b, 0) / 3;
const sd = Math.sqrt(logs.reduce((s, v) => s + (v - middle) ** 2, 0) / 2) * Math.sqrt(4 / 3);

describe("the BET area ahead", () => {
  test("from three pairs: exp(mean ± t s √(1 + 1/n)), and its chance of lying below the upper end is 97.5 %", () => {
    const found = predictedBet(three, 0.48, { level: 0.95, high: null });
    const high = 0.48 * Math.exp(middle + tQuantile(0.975, 2) * sd);
    expect(found.high).toBeCloseTo(high, 10);
    expect(predictedBet(three, 0.48, { level: 0.95, high }).chanceWithin).toBeCloseTo(0.975, 8);
    expect(predictedBet(three, 0.48, { level: 0.95, low: found.low, high }).chanceWithin).toBeCloseTo(
      0.95,
      8,
    );
  });
  test("of an area that is a lower bound there is neither interval nor chance, and only too little is unexpected", () => {
    const of = (cameBackM2PerG: number | null) =>
      predictedBet(three, 0.48, { level: 0.95, low: 0.4, high: 0.6, isLowerBound: true, cameBackM2PerG });
    const { median, low, high, chanceWithin } = of(null);
    expect(median).toBeCloseTo(0.48 * Math.exp(middle), 10);
    expect([low, high, chanceWithin]).toEqual([null, null, null]);
    expect(of(2).cameBack).toMatchObject({ z: null, isUnexpected: null });
    expect(of(0.2).cameBack).toMatchObject({ isUnexpected: true });
    expect(predictedBetSentence(of(2))).toMatch(
      /^The predicted BET area is at least about 0\.6\d+ m²\/g \(three pairs\)\. .* neither an interval nor a chance\. .*cannot be assessed: only a lower bound is predicted\.$/,
    );
    expect(predictedBetSentence(of(0.2))).toMatch(
      /is below the lower bound of about \S+ m²\/g\. Possible causes: /,
    );
  });
  test("without pairs it is a guess between 1 and 2 times the geometric area, and says so", () => {
    const found = predictedBet([], 0.5, { level: 0.95, low: 0.5, high: 1 });
    expect(found.basis).toBe("guess");
    expect(found.chanceWithin).toBeCloseTo(1, 12);
    expect([found.low, found.high].map((v) => (v ?? 0) / 0.5)).toEqual(
      [2 ** 0.025, 2 ** 0.975].map((v) => expect.closeTo(v, 3)),
    );
    expect(predictedBetSentence(found)).toMatch(/Rough estimate/);
  });
  test("a guess is held against a value outside 1 to 2 times the area, never against one inside", () => {
    const at = (bet: number) => predictedBet([], 0.5, { level: 0.95, cameBackM2PerG: bet });
    for (const inside of [0.503, 0.505, 0.7, 0.99, 0.997])
      expect(predictedBetSentence(at(inside)), String(inside)).toMatch(/agrees with the prediction/);
    for (const outside of [0.49, 1.01])
      expect(predictedBetSentence(at(outside)), String(outside)).toMatch(/outside even the rough estimate/);
  });
  test("two pairs give a ratio without interval, chance or judgement", () => {
    const found = predictedBet(three.slice(0, 2), 0.5, { level: 0.95, high: 1, cameBackM2PerG: 2 });
    expect([found.basis, found.low, found.chanceWithin, found.cameBack?.z]).toEqual([
      "few pairs",
      null,
      null,
      null,
    ]);
    expect(predictedBetSentence(found)).toMatch(
      /cannot be assessed yet: at least three comparable pairs are needed/,
    );
  });
  test("a value that came back is expected inside, unexpected outside, each side with its reasons", () => {
    const at = (bet: number) => predictedBet(three, 0.5, { level: 0.95, cameBackM2PerG: bet });
    expect(at(0.66).cameBack?.isUnexpected).toBe(false);
    expect(predictedBetSentence(at(0.66))).toMatch(/agrees with the prediction/);
    expect(predictedBetSentence(at(3))).toMatch(/is higher than predicted .* fines below/);
    expect(predictedBetSentence(at(0.1))).toMatch(/is lower than predicted .* necked/);
  });
});

describe("a value whose own pair is in the notebook", () => {
  const others = [pair(0.4, 0.5), pair(0.5, 0.62), pair(0.6, 0.76), pair(0.45, 0.55)];
  test("is judged by the others alone: noting it does not make it expected", () => {
    const before = predictedBet(others, 0.50123, { level: 0.95, cameBackM2PerG: 0.9 });
    const after = predictedBet([...others, pair(0.5012, 0.9)], 0.50123, { level: 0.95, cameBackM2PerG: 0.9 });
    expect(before.cameBack?.isUnexpected).toBe(true);
    expect(after).toEqual(before);
    const another = predictedBet([...others, pair(0.52, 0.9)], 0.50123, { level: 0.95, cameBackM2PerG: 0.9 });
    expect(another.pairs).toBe(5);
  });
  test("an odd one is warned of before it goes in, one as expected or without others is not", () => {
    const odd = (known: readonly BetPair[], bet: number) =>
      oddPairSentence(predictedBet(known, 0.5, { level: 0.95, cameBackM2PerG: bet }));
    expect(odd(others, 0.9)).toMatch(
      /^This pair is an outlier among the four other pairs .* it can be added all the same\.$/,
    );
    expect([odd(others, 0.63), odd([], 5), odd(others.slice(0, 2), 0.9)]).toEqual([null, null, null]);
  });
});

describe("a BET area as it is noted among the results", () => {
  test("m²/g is known however it is written, and left empty it is the usual unit", () => {
    for (const unit of ["m²/g", "m2/g", "m^2/g", "m² / g", "M2/g", "m² g⁻¹", "m2·g^-1", "", " "])
      expect(isM2PerG(unit), unit).toBe(true);
    for (const unit of ["cm²/g", "m²/kg", "m2", "g", "m/g", "m²/cm³"])
      expect(isM2PerG(unit), unit).toBe(false);
  });
  test("one in another unit, or of no stage, is not compared and says why; other results say nothing", () => {
    const noted = { name: betResult, unit: "m2/g", stage: "milled", value: 1.2 };
    expect(whyNotCompared(noted)).toBeNull();
    expect(whyNotCompared({ ...noted, unit: "cm²/g" })).toMatch(/its unit is cm²\/g/);
    expect(whyNotCompared({ ...noted, stage: null })).toMatch(/its stage is not stated/);
    expect(whyNotCompared({ ...noted, stage: null, name: "yield", unit: "%" })).toBeNull();
  });
});

describe("the form of the calibration, from six pairs on", () => {
  const areas = [0.2, 0.35, 0.5, 0.7, 0.9, 1.2, 1.5];
  const noise = [0.01, -0.008, 0.006, -0.01, 0.009, -0.005, 0.004];
  const withOffset = areas.map((x, i) => pair(x, (0.3 + 1.1 * x) * (1 + (noise[i] ?? 0))));
  const ratioOnly = areas.map((x, i) => pair(x, 1.25 * x * (1 + (noise[i] ?? 0))));
  test("an offset that is there is taken, one that is not is left", () => {
    expect(predictedBet(withOffset, 0.6, { level: 0.95 }).form).toBe("offset and ratio");
    expect(predictedBet(withOffset, 0.6, { level: 0.95 }).median).toBeCloseTo(0.3 + 1.1 * 0.6, 1);
    expect(predictedBet(ratioOnly, 0.6, { level: 0.95 }).form).toBe("ratio");
  });
  test("the sentence names the form in use and both errors, and below six pairs what is missing", () => {
    expect(formSentence(predictedBet(withOffset, 0.6, { level: 0.95 }))).toMatch(
      /error: \d[\d.]* % \(ratio\), 0?\.?\d[\d.]* % .* uses the offset and ratio\.$/,
    );
    expect(formSentence(predictedBet(ratioOnly, 0.6, { level: 0.95 }))).toMatch(/uses the ratio\.$/);
    expect(formSentence(predictedBet(three, 0.6, { level: 0.95 }))).toMatch(/^From six comparable pairs/);
  });
  test("five pairs are too few to ask, and pairs of one area cannot tell", () => {
    expect(formErrors(withOffset.slice(0, 5))).toBeNull();
    expect(formErrors(Array.from({ length: 7 }, () => pair(0.5, 0.6)))).toBeNull();
  });
});

describe("stale pairs", () => {
  test("a pair is stale where something known of both differs, never for what is not noted", () => {
    const now = { instrument: "B", densityGPerCm3: 4.55 };
    expect(staleness(pair(1, 1), now)).toEqual([]);
    expect(staleness(pair(1, 1, { instrument: "B", densityGPerCm3: 4.5501 }), now)).toEqual([]);
    expect(staleness(pair(1, 1, { instrument: "A", densityGPerCm3: 5 }), now)).toEqual([
      "instrument",
      "density",
    ]);
  });
  test("they are left out and named", () => {
    const found = predictedBet([...three, pair(0.5, 3, { instrument: "A" })], 0.5, {
      level: 0.95,
      now: { instrument: "B" },
    });
    expect([found.pairs, found.stale.pairs]).toEqual([3, 1]);
    expect(predictedBetSentence(found)).toMatch(/One pair is not used: measured with a different instrument/);
  });
  test("PAIRS.csv may note how each was measured", () => {
    const { pairs } = readPairs(
      "stage,geometricM2PerG,betM2PerG,optics,densityGPerCm3\nfired,0.4,0.5,Mie 1.83,4.55\nfired,0.4,0.5,,\n",
      null,
    );
    expect(pairs[0]).toEqual({
      stage: "fired",
      geometricM2PerG: 0.4,
      betM2PerG: 0.5,
      optics: "Mie 1.83",
      densityGPerCm3: 4.55,
    });
    expect(pairs[1]).toEqual({ stage: "fired", geometricM2PerG: 0.4, betM2PerG: 0.5 });
  });
});

test("a line needs three points and two different x", () => {
  expect(lineThrough([1, 2], [1, 2], 0.95)).toBeNull();
  expect(lineThrough([1, 1, 1], [1, 2, 3], 0.95)).toBeNull();
  expect(lineThrough([1, 2, 3], [2, 4, 6], 0.95)?.slope).toBeCloseTo(2, 12);
});

test("three pairs are pairs, two are few, none is a guess", () => {
  const basis = (count: number) => predictedBet(three.slice(0, count), 0.6, { level: 0.95 }).basis;
  expect([0, 1, 2, 3].map(basis)).toEqual(["guess", "few pairs", "few pairs", "pairs"]);
});

test("leave-one-out errors of the ratio are each ln k against the mean of the others", () => {
  const six = [
    [0.4, 1.3],
    [0.5, 1.1],
    [0.6, 1.25],
    [0.7, 1.4],
    [0.8, 1.15],
    [0.9, 1.2],
  ].map(([g = 1, k = 1]) => pair(g, g * k));
  const lnK = six.map((p) => Math.log(p.betM2PerG / p.geometricM2PerG));
  const left = lnK.map((v, i) => v - lnK.filter((_, j) => j !== i).reduce((a, b) => a + b, 0) / 5);
  const rms = Math.sqrt(left.reduce((s, v) => s + v * v, 0) / 6);
  expect(formErrors(six)?.ratio).toBeCloseTo(rms, 12);
});

test("one further point about a line (by pencil: residual variance 1.35, mean 2.5, Sxx 5)", () => {
  const line = lineThrough([1, 2, 3, 4], [1, 3, 2, 5], 0.95);
  if (line === null) throw new Error("there is a line");
  expect(predictionSd(line, 5)).toBeCloseTo(Math.sqrt(1.35 * (1 + 1 / 4 + 6.25 / 5)), 12);
  expect(predictionSd(line, 2.5)).toBeCloseTo(Math.sqrt(1.35 * 1.25), 12);
});

test("a missing column is told of the row of headings", () => {
  expect(readPairs("stage,geometric\nre-fired,0.5\n", null).problems[0]).toMatchObject({ row: 1 });
});

test("of a specification that is open above, the chance is that of lying over its lower end", () => {
  const { low } = predictedBet(three, 0.48, { level: 0.95, high: null });
  expect(predictedBet(three, 0.48, { level: 0.95, low, high: null }).chanceWithin).toBeCloseTo(0.975, 8);
});

describe("a powder beyond the pairs' areas", () => {
  const four = [pair(0.3, 0.3 * 1.28), pair(0.4, 0.4 * 1.22), pair(0.5, 0.5 * 1.3), pair(0.6, 0.6 * 1.25)];
  test("within, to 1.5 times beyond with four pairs, outside", () => {
    const place = (area: number, pairs = four) =>
      predictedBet(pairs, area, { level: 0.95 }).amongPairs?.place;
    expect([0.28, 0.29, 0.61, 0.7, 0.9, 0.91, 0.19].map((area) => place(area))).toEqual([
      "beyond",
      "within",
      "within",
      "beyond",
      "beyond",
      "outside",
      "outside",
    ]);
    expect(place(0.7, four.slice(1))).toBe("outside");
    expect(place(0.5, [])).toBeUndefined();
  });
  test("beyond, the interval holds both an offset's and a power's; wider than within", () => {
    const at = (area: number) => predictedBet(four, area, { level: 0.95 });
    const width = (area: number) => Math.log((at(area).high ?? 0) / (at(area).low ?? 1));
    expect(width(0.85)).toBeGreaterThan(width(0.5));
    expect(predictedBetSentence(at(0.85))).toMatch(/1\.42 times beyond .* the interval covers both/);
  });
  test("outside there is no interval, no chance and no judgement, but the nearest pair", () => {
    const found = predictedBet(four, 1.2, { level: 0.95, high: 2, cameBackM2PerG: 1.5 });
    expect([found.low, found.high, found.chanceWithin, found.cameBack?.z]).toEqual([null, null, null, null]);
    expect(predictedBetSentence(found)).toMatch(
      /^Outside the BET calibration, 2\.00 times beyond .* the nearest pair has 0\.750 m²\/g at a geometric area of 0\.600/,
    );
  });
  test("an error of this powder larger than that of the pairs widens what is expected, a smaller one does not", () => {
    const stated = four.map((p) => ({ ...p, areaRelativeU: 0.01, betRelativeU: 0.01 }));
    const width = (more: { areaRelativeU?: number; betRelativeU?: number }) => {
      const { low, high } = predictedBet(stated, 0.5, { level: 0.95, ...more });
      return Math.log((high ?? 0) / (low ?? 1));
    };
    expect(width({ areaRelativeU: 0.005 })).toBeCloseTo(width({}), 12);
    expect(width({ areaRelativeU: 0.05 })).toBeGreaterThan(width({}));
    expect(width({ betRelativeU: 0.05 })).toBeCloseTo(width({ areaRelativeU: 0.05 }), 12);
    const far = (betRelativeU: number) =>
      predictedBet(stated, 0.5, { level: 0.95, cameBackM2PerG: 0.75, betRelativeU }).cameBack?.z ?? 0;
    expect(far(0.08)).toBeLessThan(far(0.01));
    expect(far(0.08)).toBeGreaterThan(0);
  });
});
