import { describe, expect, test } from "vitest";
import { pressureAnswer } from "#model/answers/mill/pressureAnswer.ts";
import type { PressureTrial } from "#model/mill/pressure/pressureRegression.ts";
import { readPressureTrials } from "#model/mill/pressure/readPressureTrials.ts";

/** Exactly D50 = 10·p^−0.6 at one feed. */
const lawful: PressureTrial[] = [4, 5, 6, 8].map((pressureBar) => ({
  pressureBar,
  feedKgPerH: 8,
  d50Um: 10 * pressureBar ** -0.6,
}));
const asked = { pressureBar: null, feedKgPerH: null, targetD50Um: null, ratedBar: 9 };

describe("a mill without a wheel", () => {
  test("its law comes back from trials that follow it, and the pressure for a D50 is the law's", () => {
    const a = pressureAnswer(lawful, { ...asked, pressureBar: 7, targetD50Um: 10 * 7 ** -0.6 });
    expect(a.d50Um?.median).toBeCloseTo(10 * 7 ** -0.6, 1);
    expect(a.pressureBar?.median).toBeGreaterThan(6.7);
    expect(a.pressureBar?.median).toBeLessThan(7.3);
    expect(a.pressureBar?.low).toBeLessThan(a.pressureBar?.median ?? 0);
    expect(a.pressureBar?.reachProbability).toBeGreaterThan(0.5);
    expect(a.d50Um?.low).toBeLessThan(a.d50Um?.median ?? 0);
  });
  test.each([
    ["no trial", [], { ...asked, pressureBar: 5 }, /no calculated cut to start from/],
    ["a pressure above the rating", lawful, { ...asked, pressureBar: 10 }, /above the rated/],
    [
      "a pressure far outside the trials",
      lawful,
      { ...asked, pressureBar: 1 },
      /a factor of .* outside your trials/,
    ],
    [
      "no rating",
      lawful,
      { ...asked, ratedBar: null, targetD50Um: 3 },
      /No pressure is suggested: no rated pressure/,
    ],
    ["a target out of reach", lawful, { ...asked, targetD50Um: 1 }, /not reached/],
    [
      "a trial that contradicts the others",
      [...lawful, { pressureBar: 7, feedKgPerH: 8, d50Um: 30 }],
      { ...asked, pressureBar: 5 },
      /trial 5 .* contradicts the others.*exclude it/,
    ],
  ])("%s is refused, with the reason and what would help", (_, trials, ask, words) => {
    const { sentence, refused } = pressureAnswer(trials, ask);
    expect(sentence).toMatch(words);
    expect(refused).toHaveLength(1);
    expect(refused[0]?.remedy).toMatch(/\.$/);
  });
  test("one trial moves by what is believed of the exponent", () => {
    const at = (mean: number) =>
      pressureAnswer(
        lawful.slice(0, 1),
        { ...asked, pressureBar: 6 },
        { pressure: { mean, sd: 0.01 }, feed: { mean: 0, sd: 0.1 } },
      ).d50Um?.median ?? 0;
    // One trial at 4 bar: D50 at 6 bar is that times 1.5 to the power believed.
    expect(at(-1) / at(0)).toBeCloseTo(1 / 1.5, 2);
  });
  test("the rated pressure itself is not above the rating", () => {
    const ask = { ...asked, ratedBar: 7, pressureBar: 7 };
    expect(pressureAnswer(lawful, ask).refused).toEqual([]);
    expect(pressureAnswer(lawful, { ...ask, pressureBar: 7.01 }).refused).toHaveLength(1);
  });
  test("an entry of zero breaks a rule", () => {
    expect(() => pressureAnswer(lawful, { ...asked, pressureBar: 0 })).toThrow(/above zero/);
  });
  test("outside the trials it extrapolates and says so; at one pressure the exponent is the prior", () => {
    expect(pressureAnswer(lawful, { ...asked, pressureBar: 9 }).warnings.join()).toMatch(
      /This is an extrapolation/,
    );
    expect(pressureAnswer(lawful.slice(0, 1), { ...asked, pressureBar: 4 }).warnings.join()).toMatch(
      /one pressure/,
    );
    expect(pressureAnswer(lawful, { ...asked, pressureBar: 6 }).warnings).toEqual([]);
  });
  test("how far it extrapolates is said in per cent", () => {
    expect(pressureAnswer(lawful, { ...asked, pressureBar: 9 }).warnings).toEqual([
      "This is an extrapolation: the pressure is 13 % above the highest of your trials.",
    ]);
  });
  test("the sentence gives the pressures for surely coarse and surely fine, or says that none does", () => {
    const near = pressureAnswer(lawful, { ...asked, targetD50Um: 10 * 6 ** -0.6 }).sentence;
    expect(near).toMatch(/^Set [\d.]+ bar \(90 %: [\d.]+–[\d.]+ bar; /);
    // Trials off their law by 2 %: without noise every interval closes.
    const rough = lawful.map((trial, i) => ({ ...trial, d50Um: trial.d50Um * (i % 2 === 0 ? 1.02 : 0.98) }));
    const edge = pressureAnswer(rough, { ...asked, ratedBar: 8, targetD50Um: 10 * 7.9 ** -0.6 }).sentence;
    expect(edge).toMatch(/from [\d.]+ bar, its upper end above the highest permitted pressure/);
    // The coarsest permitted is at 4/1.5 bar.
    const slow = pressureAnswer(rough, { ...asked, targetD50Um: 10 * 2.7 ** -0.6 }).sentence;
    expect(slow).toMatch(/up to [\d.]+ bar, its lower end below the predictable pressures/);
  });
  test("a bad row loses itself alone", () => {
    const { trials, problems } = readPressureTrials("pressureBar,feedKgPerH,d50Um\n5,8,5\nx,8,4\n", "p.csv");
    expect(trials).toHaveLength(1);
    expect(problems[0]).toMatchObject({ row: 3, found: "x" });
  });
});

test("a feed outside the trials is told as such", () => {
  const { warnings } = pressureAnswer(lawful, { ...asked, pressureBar: 6, feedKgPerH: 10 });
  expect(warnings.join(" ")).toMatch(/the feed is 25 % above the highest of your trials/);
  expect(pressureAnswer(lawful, { ...asked, pressureBar: 6, feedKgPerH: 8 }).warnings).toEqual([]);
});
