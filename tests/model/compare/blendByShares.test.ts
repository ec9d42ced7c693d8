import { describe, expect, test } from "vitest";
import { blendAnswer } from "#model/answers/compare/blendAnswer.ts";
import { bestBlend } from "#model/compare/blend.ts";
import { bandOf, run } from "../plainPowders.ts";

describe("a blend whose limits are shares below a size", () => {
  // Shares below a size add by weight, so the mix in the middle of its limits is a linear equation.
  const below = (sizeUm: number, middle: number, reach = 0.05) => ({
    limit: "belowShare",
    sizeUm,
    low: middle - reach,
    high: middle + reach,
  });
  const lots = (...all: readonly (readonly number[])[]) => all.map((shares) => [run(shares)]);
  test("two lots: exact", () => {
    // 0.7·w + 0.2·(1 − w) = 0.37 at w = 0.34.
    const blend = bestBlend(lots([0.7, 0.3], [0.2, 0.8]), bandOf([below(2, 0.37)]));
    expect(blend?.weights).toEqual([expect.closeTo(0.34, 9), expect.closeTo(0.66, 9)]);
    // Right in the middle there is the whole half-width to either side.
    expect(blend?.room).toBeCloseTo(1, 6);
    expect(blend?.chance).toBeNull();
    expect(blend?.mix.shares).toEqual([expect.closeTo(0.37, 12), expect.closeTo(0.63, 12)]);
  });
  test("a lot that is out alone: the most of it that others can bring in", () => {
    // 0.7·w + 0.2·(1 − w) is at most 0.42 at w = 0.44; with a third of 0.3 the same as with the second alone.
    const band = bandOf([below(2, 0.37)]);
    expect(bestBlend(lots([0.7, 0.3], [0.2, 0.8]), band)?.mostOfFirst).toBeCloseTo(0.44, 6);
    expect(bestBlend(lots([0.7, 0.3], [0.3, 0.7], [0.2, 0.8]), band)?.mostOfFirst).toBeCloseTo(0.44, 6);
    expect(bestBlend(lots([0.37, 0.63], [0.2, 0.8]), band)?.mostOfFirst).toBe(1);
    expect(bestBlend(lots([0.7, 0.3], [0.8, 0.2]), band)?.mostOfFirst).toBeNull();
  });
  test("shares given by hand: said as they are, with the limit that they miss", () => {
    const [a, b] = lots([0.7, 0.3], [0.2, 0.8]);
    const named = [
      { name: "A", runs: a ?? [] },
      { name: "B", runs: b ?? [] },
    ];
    const band = bandOf([below(2, 0.37)]);
    // 0.7·0.6 + 0.2·0.4 = 0.5 is above 0.42; 0.7·0.25 + 0.2·0.75 = 0.325 is inside.
    const out = blendAnswer(named, band, [6, 4]);
    expect(out).toMatchObject({
      isIn: false,
      mostOfFirst: null,
      noShare: [],
      shares: [{ share: 0.6 }, { share: 0.4 }],
    });
    expect(out.rows[0]?.value).toBeCloseTo(0.5, 12);
    expect(out.sentence).toBe(
      "With 60.0 % A and 40.0 % B the blend would be out of band by the share below 2 µm.",
    );
    expect(blendAnswer(named, band, [25, 75])).toMatchObject({
      isIn: true,
      sentence: "With 25.0 % A and 75.0 % B the blend would be in band.",
    });
  });
  test("three lots: exact", () => {
    // Weights 0.24, 0.36, 0.4 of shares below 2 and 4 µm.
    const blend = bestBlend(
      lots([0.8, 0.1, 0.1], [0.1, 0.8, 0.1], [0.1, 0.1, 0.8]),
      bandOf([below(2, 0.1 + 0.7 * 0.24), below(4, 0.2 + 0.7 * 0.6)]),
    );
    for (const [i, w] of [0.24, 0.36, 0.4].entries())
      expect(Math.abs((blend?.weights[i] ?? 0) - w)).toBeLessThan(1e-6);
    expect(blend?.weights.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 12);
    expect(blend?.room).toBeGreaterThan(0.3);
  });
  test("four lots: exact", () => {
    const wanted = [0.2, 0.32, 0.28, 0.2];
    const pure = [0, 1, 2, 3].map((k) => [0, 1, 2, 3].map((i) => (i === k ? 0.7 : 0.1)));
    const q = (upTo: number) =>
      pure.reduce(
        (sum, shares, k) => sum + (wanted[k] ?? 0) * shares.slice(0, upTo).reduce((a, b) => a + b, 0),
        0,
      );
    const blend = bestBlend(lots(...pure), bandOf([below(2, q(1)), below(4, q(2)), below(8, q(3))]));
    for (const [i, w] of wanted.entries()) expect(Math.abs((blend?.weights[i] ?? 0) - w)).toBeLessThan(1e-6);
  });
  test("an envelope is held to where its middle lies from 5 to 95 %", () => {
    const envelope = { sizesUm: [1, 2, 4], lowShares: [0, 0.32, 0.999], highShares: [0.001, 0.42, 1] };
    const blend = bestBlend(lots([0.7, 0.3], [0.2, 0.8]), bandOf([], { envelope }));
    expect(blend?.weights[0]).toBeCloseTo(0.34, 9);
    expect(blend?.room).toBeCloseTo(1, 6);
    expect(bestBlend(lots([0.7, 0.3], [0.2, 0.8]), bandOf([]))).toBeNull();
  });
  test("two lots or more, each with a run", () => {
    expect(() => bestBlend(lots([0.5, 0.5]), bandOf([below(2, 0.5)]))).toThrow(/lots/);
    const five = lots([1, 0], [0, 1], [1, 0], [0, 1], [1, 0]);
    expect(bestBlend(five, bandOf([below(2, 0.5)]))?.room).toBeCloseTo(1, 6);
    expect(() => bestBlend([[run([1, 0])], []], bandOf([below(2, 0.5)]))).toThrow(/lots/);
  });
});
