import { expect, test } from "vitest";
import { noncentralityFor, powerOfT } from "#model/numbers/noncentralT.ts";

// Source: the worked examples of a general statistics language for two groups (power 0.8689528 at 20 a group and a shift
// of one SD; 22.02110 a group for power 0.90), from memory.
test("the power of a comparison of two groups of 20 whose means lie one SD apart", () => {
  expect(powerOfT(1 / Math.sqrt(2 / 20), 38, 0.05)).toBeCloseTo(0.8689528, 6);
});

test("22.0211 a group find one SD in 90 %", () => {
  const n = 22.0211;
  expect(noncentralityFor(0.9, 2 * n - 2, 0.05)).toBeCloseTo(1 / Math.sqrt(2 / n), 4);
});

test("law: without an effect the power is the level, and it rises with the effect to 1", () => {
  for (const degrees of [1, 3, 10, 200]) {
    const powers = [0, 0.5, 1, 2, 4, 8, 80].map((effect) => powerOfT(effect, degrees, 0.05));
    expect(powers[0]).toBeCloseTo(0.05, degrees === 1 ? 2 : 6);
    for (const [i, power] of powers.entries()) if (i > 0) expect(power).toBeGreaterThan(powers[i - 1] ?? 1);
    expect(powers.at(-1)).toBeGreaterThan(0.98);
  }
});
