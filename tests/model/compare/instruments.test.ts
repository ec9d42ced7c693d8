import { expect, test } from "vitest";
import { curveOf, sizeAt } from "../../../distributions/curve.ts";
import { itemAt } from "../../../distributions/lists.ts";
import { instrumentAnswer, offsetAnswer } from "../../../model/answers/compare/instrumentsAnswer.ts";
import { asFoundByFirst } from "../../../model/compare/asFoundByFirst.ts";
import { instrumentOffset } from "../../../model/compare/instrumentOffset.ts";
import { run } from "../plainPowders.ts";

test("the offset of two instruments is the mean log ratio with Student's t", () => {
  // By hand: ln ratios 0.01, 0.02, 0.03: mean 0.02, s 0.01, t(0.975; 2) = 4.303 (Student's table): ± 0.024843.
  const found = [0.01, 0.02, 0.03].map((ln, i) => ({
    lot: `lot ${i}`,
    firstUm: 3,
    secondUm: 3 * Math.exp(ln),
  }));
  const offset = instrumentOffset(found);
  expect(offset?.percent).toBeCloseTo(2.0201, 3);
  expect(offset?.low).toBeCloseTo(100 * Math.expm1(0.02 - 0.024843), 3);
  expect(offset?.high).toBeCloseTo(100 * Math.expm1(0.02 + 0.024843), 3);
  expect(instrumentOffset(found.slice(1))).toMatchObject({ low: null, lots: 2 });
  expect(instrumentOffset([])).toBe(null);
});

test("an offset holds the true one in about 95 of 100 simulated comparisons", () => {
  let seed = 7;
  const uniform = () => {
    seed = (seed * 16807) % 2147483647;
    return seed / 2147483647;
  };
  const normal = () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
  let held = 0;
  for (let i = 0; i < 2000; i++) {
    const found = Array.from({ length: 6 }, (_, lot) => ({
      lot: `lot ${lot}`,
      firstUm: 3,
      secondUm: 3 * Math.exp(0.03 + 0.02 * normal()),
    }));
    const { low, high } = instrumentOffset(found) ?? { low: null, high: null };
    if (low !== null && high !== null && low <= 100 * Math.expm1(0.03) && 100 * Math.expm1(0.03) <= high)
      held++;
  }
  expect(held / 2000).toBeGreaterThan(0.935);
  expect(held / 2000).toBeLessThan(0.965);
});

test("sizes of the second instrument, divided by its offset, are those of the first; shares stay", () => {
  const [found] = asFoundByFirst([run([0.2, 0.8])], 25);
  expect(found?.distribution.shares).toEqual(run([0.2, 0.8]).distribution.shares);
  const before = sizeAt(curveOf(run([0.2, 0.8]).distribution), 0.5) ?? 0;
  expect(
    sizeAt(
      curveOf(
        itemAt(
          [found].flatMap((f) => f ?? []),
          0,
        ).distribution,
      ),
      0.5,
    ),
  ).toBeCloseTo(before / 1.25, 12);
  expect(() => asFoundByFirst([], -100)).toThrow(/above −100/);
});

test("checks stand as a series with limits, and what is beyond is named", () => {
  const checks = [2.11, 2.12, 2.1, 2.13, 2.11, 2.12, 2.31].map((found, i) => ({
    day: `2026-11-0${i + 1}`,
    referenceMaterial: "glass beads 2.1 µm",
    quantity: "D50",
    stated: 2.1,
    standardUncertainty: 0.02,
    found,
    unit: "µm",
  }));
  const { series, sentence } = instrumentAnswer("laser A", checks.slice(0, 6));
  expect(series[0]?.outside).toEqual([]);
  expect(sentence).toMatch(/none beyond the limits of the series/);
  expect(instrumentAnswer("laser A", checks).sentence).toMatch(
    /last 10.* % on 7 Nov 2026, beyond twice the stated/,
  );
  expect(instrumentAnswer("laser A", []).sentence).toMatch(/no check/);
  expect(offsetAnswer([], { first: "laser A", second: "laser B" }).sentence).toMatch(
    /No lot was measured on both/,
  );
});
