import { describe, expect, test } from "vitest";
import type { Curve } from "#distributions/curve.ts";
import { compareAnswer } from "#model/answers/compare/compareAnswer.ts";
import { unseenSentence } from "#model/answers/surface/predictedBetWords.ts";
import { individuals } from "#model/factors/individuals.ts";
import { copiesAmong } from "#model/lot/copies.ts";
import { pressureRegression } from "#model/mill/pressure/pressureRegression.ts";
import { thinPosterior } from "#model/mill/trials/predictionMixture.ts";
import { powder } from "../powder.ts";

// What few numbers, equal numbers, or numbers left out give. Worked by hand.
const at = (middle: number): Curve => ({ edgesUm: [1, 2, 4], undersize: [0, middle, 1], power: 0 });

test("two runs that lie together between two others are no means of the others", () => {
  expect(copiesAmong([0.5, 0.50001, 0.55, 0.45].map(at)).meansOfOthers).toEqual([]);
  // 0.505 is the mean of 0.5, 0.56 and 0.455.
  expect(copiesAmong([0.5, 0.505, 0.56, 0.455].map(at)).meansOfOthers).toEqual([1]);
});

test("where nobody asks for sizes, the fines of two powders are compared below 1 µm", () => {
  const { finesPoints } = compareAnswer([powder(2)], [powder(1.6)]);
  expect(Object.keys(finesPoints)).toEqual(["1"]);
});

test("lots that are all equal have no scatter and hit no limit", () => {
  expect(individuals([3, 3, 3, 3, 3])).toEqual({
    values: [3, 3, 3, 3, 3],
    middle: 3,
    low: 3,
    high: 3,
    sigma: 0,
    hits: [],
  });
});

test("a law from three trials judges each of them by the others, a law from two judges none", () => {
  const trial = (pressureBar: number, d50Um: number) => ({ pressureBar, feedKgPerH: null, d50Um });
  const three = [trial(4, 5), trial(6, 4), trial(8, 3.4)];
  expect(pressureRegression(three)?.leaveOneOutZ).toHaveLength(3);
  expect(pressureRegression(three.slice(0, 2))?.leaveOneOutZ).toEqual([]);
});

test("components of several terms are merged term by term", () => {
  const component = (...mean: number[]) => ({
    weight: 1,
    sigma: 1,
    mean,
    covariance: mean.map(() => mean.map(() => 0)),
  });
  const { components } = thinPosterior({ components: [component(1, 10), component(3, 20)] }, 1);
  expect(Array.from(components[0]?.mean ?? [])).toEqual([2, 15]);
  // Half of each on either side of the mean: spreads of 1 and 5 that go together.
  expect(components[0]?.covariance.map((row) => Array.from(row))).toEqual([
    [1, 5],
    [5, 25],
  ]);
});

describe("fines that are not seen are of no account only where neither bound nor tail says otherwise", () => {
  const said = (leastM2PerG: number, tailM2PerG: number) =>
    unseenSentence({ belowUm: 0.3, seenM2PerG: 1, leastM2PerG, tailM2PerG });
  test.each([
    [0.009, 0.009, true],
    [0.02, 0.009, false],
    [0.009, 0.02, false],
    [0.02, 0.02, false],
  ])("at least %f, tail %f", (least, tail, isNothing) => {
    expect(/less than 1 %/.test(said(least, tail))).toBe(isNothing);
  });
});
