import { describe, expect, test } from "vitest";
import { againstAnswer } from "#model/answers/againstAnswer.ts";
import { fitAnswer } from "#model/answers/fitAnswer.ts";
import { pressureAnswer } from "#model/answers/pressureAnswer.ts";
import { stagesAnswer } from "#model/answers/stagesAnswer.ts";
import { bandFactor } from "#model/band/fromReference.ts";
import { stageGap } from "#model/band/stageGap.ts";
import { dampedWalk } from "#model/fit/dampedWalk.ts";
import { answerOf } from "#model/fit/steps.ts";
import { thinPosterior } from "#model/mill/trials/mixture.ts";
import { idealJetPowerW } from "#model/mill/wheel/gas.ts";
import { ratioLine } from "#model/pictures/ratioLine.ts";
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

describe("what is said of few and of some", () => {
  const lot = (name: string, ...mediansUm: number[]) => ({ name, runs: mediansUm.map((um) => powder(um)) });
  test("two runs of a reference already show how far its own runs lie apart, one does not", () => {
    expect(againstAnswer([lot("ref", 3), lot("a", 3.3)]).noise).toBeNull();
    expect(againstAnswer([lot("ref", 3, 3.03), lot("a", 3.3)]).noise?.shiftPercent).toBeGreaterThan(0.5);
  });
  test("a stage before the band's names every process that is still to come, and none after it", () => {
    expect(stageGap("fired", "milled")).toMatch(/crush.* mill/i);
    expect(stageGap("fired", "milled")).not.toMatch(/fir(ing|e it) again|re-firing/i);
    expect(stageGap("milled", "re-fired")).not.toMatch(/crush/i);
  });
  test("two curves of three that cannot be told apart are named, and the third left out", () => {
    const runs = [3, 3.01, 3.02].map((um) => powder(um, 1.5));
    const { sentence } = fitAnswer(runs, { families: ["log-normal", "mixture", "rosin-rammler"] });
    expect(sentence).toMatch(/log-normal/);
    expect(sentence).not.toMatch(/^The two curves/);
    expect(fitAnswer(runs, { families: ["log-normal", "mixture"] }).sentence).toMatch(
      /^The two curves cannot/,
    );
  });
  test("what one fit cannot say stands beside its measurement, what several cannot beside none", () => {
    const noteOf = (...mediansUm: number[]) =>
      fitAnswer(
        mediansUm.map((um) => ({ ...powder(um), name: `run at ${um}` })),
        { families: ["rosin-rammler"] },
      ).problems.find((p) => p.message.includes("D[1,0]"));
    expect(noteOf(3)?.measurement).toBe("run at 3");
    expect(noteOf(3, 4)?.measurement).toBeNull();
  });
  test("one name too long for the picture sends all names beneath it", () => {
    const lnRatios = [0.1, 0.2, 0.3];
    const names = ["a", "a very long name of a lot that was milled twice and fired three times"];
    const picture = ratioLine(
      names.map((name) => ({ name, lnRatios })),
      null,
      [10, 50, 90],
      { name: "two", width: 720 },
    );
    const said = picture?.marks.flatMap((m) => (m.kind === "words" ? [m.text] : [])) ?? [];
    expect(said).toEqual(expect.arrayContaining(["1", "2", "1  a", `2  ${names[1]}`]));
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
