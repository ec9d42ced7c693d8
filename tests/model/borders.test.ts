import { describe, expect, test } from "vitest";
import { pressureAnswer } from "#model/answers/pressureAnswer.ts";
import { stagesAnswer } from "#model/answers/stagesAnswer.ts";
import { bandFactor } from "#model/band/fromReference.ts";
import { dampedWalk } from "#model/fit/dampedWalk.ts";
import { answerOf } from "#model/fit/steps.ts";
import { thinPosterior } from "#model/mill/trials/mixture.ts";
import { idealJetPowerW } from "#model/mill/wheel/gas.ts";
import { pooledSpread } from "#model/runs/overRuns.ts";
import { expectationFrom, guessed } from "#model/surface/betForm.ts";
import { powder } from "./powder.ts";

// What happens just at a border, where a sign turned round would go unseen elsewhere. Worked by hand.
describe("what is refused at its border", () => {
  test("a coverage is a share between nothing and all", () => {
    for (const coverage of [0, 1, 1.5, Number.NaN]) expect(() => bandFactor(6, coverage)).toThrow("coverage");
    expect(() => bandFactor(1)).toThrow("two or more");
    expect(bandFactor(2)).toBeGreaterThan(bandFactor(3));
  });
  test("a jet has a pressure on either side", () => {
    expect(() => idealJetPowerW("air", 0.1, 300, 0, 1e5)).toThrow("above zero");
    expect(() => idealJetPowerW("air", 0.1, 300, 7e5, 0)).toThrow("above zero");
    expect(idealJetPowerW("air", 0.1, 300, 1e5, 1e5)).toBe(0);
    expect(idealJetPowerW("air", 0.1, 300, 1e5, 2e5)).toBe(0);
  });
});

describe("what is left out where it is not known", () => {
  const stage = (name: string, medianUm: number, massG?: number) => ({
    stage: name,
    runs: [0.99, 1, 1.01].map((part) => powder(medianUm * part)),
    massG,
    humps: null,
  });
  test("grams need the mass before and after", () => {
    const gramsOf = (before?: number, after?: number) =>
      stagesAnswer([stage("crushed", 12, before), stage("milled", 3, after)]).steps[0]?.fines[0]?.grams;
    expect(gramsOf(500)).toBeNull();
    expect(gramsOf(undefined, 500)).toBeNull();
    expect(gramsOf(500, 490)).not.toBeNull();
  });
  test("a lot with a run that is not known lends no spread, nor one with a run of nothing", () => {
    const spread = pooledSpread([
      [1, null, 1.2],
      [1, 0, 1.2],
      [2, 2 * Math.exp(0.1)],
    ]);
    expect(spread?.degrees).toBe(1);
    expect(spread?.sdLn).toBeCloseTo(0.1 / Math.SQRT2, 12);
  });
  test("a mill without a wheel and without a trial says so as a sentence", () => {
    const { sentence } = pressureAnswer([], {
      pressureBar: null,
      feedKgPerH: null,
      targetD50Um: null,
      ratedBar: null,
    });
    expect(sentence).toBe(
      "There is no trial yet, and without a wheel there is no physics to stand in for one.",
    );
  });
});

describe("a law without scatter", () => {
  const pair = (geometricM2PerG: number, betM2PerG: number) => ({
    stage: "re-fired",
    geometricM2PerG,
    betM2PerG,
  });
  test("pairs of one ratio leave no doubt: below it never, above it always", () => {
    const { below } = expectationFrom([pair(1, 2), pair(2, 4), pair(4, 8)], 0.5);
    expect(below(0.999)).toBe(0);
    expect(below(1.001)).toBe(1);
    expect(below(0)).toBe(0);
    expect(guessed(0.5).below(0)).toBe(0);
    expect(guessed(0.5).below(0.5 * Math.SQRT2)).toBeCloseTo(0.5, 12);
  });
  test("components without weight are merged as equals", () => {
    const component = (mean: number) => ({ weight: 0, sigma: 1, mean: [mean], covariance: [[0]] });
    const { components } = thinPosterior({ components: [1, 2, 4, 5].map(component) }, 1);
    expect(components).toHaveLength(1);
    expect(components[0]?.mean[0]).toBeCloseTo(3, 12);
    expect(components[0]?.sigma).toBeCloseTo(1, 12);
  });
  test("one point more than parameters already has an error", () => {
    const line = {
      value:
        ([a = 0, b = 0]: readonly number[]) =>
        (x: number) =>
          a + b * x,
      slopes: () => (x: number) => [1, x],
    };
    const wide = { lowest: [-9, -9], highest: [9, 9] };
    const of = (ys: readonly number[]) =>
      answerOf(dampedWalk(line, [0, 1, 2].slice(0, ys.length), ys, [0, 0], wide));
    // Residuals 1/6, −1/3, 1/6 of (0, 1, 1): their squares' sum is 1/6 with one degree; slope error √(1/6 / 2).
    expect(of([0, 1, 1]).covariance?.[1]?.[1]).toBeCloseTo(1 / 12, 10);
    expect(of([0, 1]).covariance).toBeNull();
  });
});
