import { describe, expect, test } from "vitest";
import { effectsOf, type LotColumn, timeOrder } from "#model/factors/effects.ts";
import { smallestEffect } from "#model/factors/smallestEffect.ts";

const column = (name: string, values: readonly (number | null)[]): LotColumn => ({ name, values });
/** Scatter that is there without chance: −1 … 1 in an order of its own. */
const scatter = [0.3, -0.7, 0.9, -0.2, -0.9, 0.6, 0.1, -0.4, 0.8, -0.6, 0.5, -0.3];

describe("what goes with what", () => {
  test("a strong effect is claimed with its slope, an idle factor is not", () => {
    const real = [0, 1, 0, 1, 1, 0, 1, 0, 1, 0, 0, 1];
    const idle = [1, 0, 0, 1, 0, 1, 1, 0, 0, 1, 0, 1];
    const y = real.map((x, i) => 5 + 4 * x + 0.3 * (scatter[i] ?? 0));
    const [own, other] = effectsOf({
      factors: [column("temperature", real), column("excess", idle)],
      results: [column("D50", y)],
    });
    expect(own?.verdict).toBe("goes with it");
    expect(own?.slope).toBeCloseTo(4, 0);
    expect(own?.interval?.low).toBeLessThan(4);
    expect(own?.interval?.high).toBeGreaterThan(4);
    expect(other?.verdict).toBe("not shown");
  });

  test("factors that rose together are named together, and neither alone", () => {
    const temperature = [1, 2, 1, 3, 2, 3, 1, 2, 3, 1, 3, 2];
    const time = temperature.map((t, i) => 2 * t + ((i % 3) - 1) * 0.1);
    const y = temperature.map((t, i) => 3 * t + (scatter[i] ?? 0));
    const effects = effectsOf({
      factors: [column("temperature", temperature), column("time", time)],
      results: [column("D50", y)],
    });
    for (const effect of effects) expect(effect.verdict).toBe("not separated");
    expect(effects.flatMap((e) => e.rivals)).toEqual(expect.arrayContaining(["temperature", "time"]));
  });

  test("a setting that was raised from lot to lot has the order in time as its rival", () => {
    const temperature = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12];
    const y = temperature.map((t, i) => t + (scatter[i] ?? 0));
    const [own] = effectsOf({ factors: [column("temperature", temperature)], results: [column("D50", y)] });
    expect(own?.verdict).toBe("not separated");
    expect(own?.rivals).toContain(timeOrder);
  });

  test("one level only, and too few lots, are said as such", () => {
    const y = column("D50", [1, 2, 3, 4, 5, 6, 7]);
    const same = column("dopant", [2, 2, 2, 2, 2, 2, 2]);
    expect(effectsOf({ factors: [same], results: [y] })[0]?.verdict).toBe("does not vary");
    const few = column("excess", [1, 2, null, null, 1, 3, null]);
    expect(effectsOf({ factors: [few], results: [y] })[0]?.verdict).toBe("too few lots");
  });

  test("more factors than lots claim nothing and break nothing", () => {
    const factors = Array.from({ length: 9 }, (_, k) =>
      column(
        `factor ${k}`,
        Array.from({ length: 7 }, (__, i) => (i * (k + 2)) % 5),
      ),
    );
    const effects = effectsOf({ factors, results: [column("D50", [3, 1, 4, 1, 5, 9, 2])] });
    expect(effects.length).toBe(9);
    expect(effects.filter((e) => e.verdict === "goes with it")).toEqual([]);
  });

  test("law: the unit of a factor and the order of factors change no verdict", () => {
    const a = [0, 1, 0, 1, 1, 0, 1, 0, 1, 0, 0, 1];
    const b = [3, 1, 2, 5, 4, 4, 2, 1, 3, 5, 2, 4];
    const y = a.map((x, i) => 2 * x + (scatter[i] ?? 0));
    const results = [column("D50", y)];
    const plain = effectsOf({ factors: [column("a", a), column("b", b)], results });
    const other = effectsOf({
      factors: [
        column(
          "b",
          b.map((v) => 1000 * v - 7),
        ),
        column(
          "a",
          a.map((v) => v / 60),
        ),
      ],
      results,
    });
    for (const { factor, verdict, pValue } of plain) {
      const same = other.find((e) => e.factor === factor);
      expect(same?.verdict).toBe(verdict);
      expect(same?.pValue).toBeCloseTo(pValue ?? Number.NaN, 9);
    }
  });
});

test("the smallest effect shown shrinks with lots, and half of it needs about three times as many more", () => {
  const settings = (lots: number) => Array.from({ length: lots }, (_, i) => i % 2);
  const of = (lots: number) =>
    smallestEffect({ residualSd: 1, settings: settings(lots), looks: 9, falseDiscoveryRate: 0.05 });
  expect(of(3)).toBeNull();
  const [twelve, twenty] = [of(12), of(20)];
  // 2.75 SD at 12 lots and 2 SD at 20 are found in over 80 % (docs/validation.md), so less is enough.
  expect(twelve?.overRange).toBeLessThan(2.75);
  expect(twenty?.overRange).toBeLessThan(2);
  expect(twelve?.moreLotsForHalf).toBeGreaterThan(18);
  expect(twelve?.moreLotsForHalf).toBeLessThan(36);
});
