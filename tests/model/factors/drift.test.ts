import { describe, expect, test } from "vitest";
import { driftOf } from "#model/factors/drift.ts";
import { minLotsForDrift } from "#model/factors/driftLimits.ts";
import { nextProcessTrial } from "#model/factors/nextProcessTrial.ts";

const steady = [0.3, -0.7, 0.9, -0.2, -0.9, 0.6, 0.1, -0.4, 0.8, -0.6, 0.5, -0.3, 0.2, -0.5, 0.7, -0.1];

describe("drift", () => {
  test("law: units and their zero change no alarm", () => {
    const stepped = steady.map((v, i) => (i < 8 ? v : v + 3));
    const scaled = driftOf(stepped.map((v) => 40 * v + 300));
    expect(scaled?.alarms).toEqual(driftOf(stepped)?.alarms);
    expect(scaled?.alarms.length).toBeGreaterThan(0);
  });

  test("no alarm still says how often a step would have been seen", () => {
    const drift = driftOf(steady);
    expect(drift?.alarms).toEqual([]);
    expect(drift?.stepSeen).toBeGreaterThan(0.4);
    expect(drift?.stepSeen).toBeLessThan(0.8);
  });

  test("one lot far away is an alarm of the single value", () => {
    const drift = driftOf(steady.map((v, i) => (i === 5 ? v + 12 : v)));
    expect(drift?.alarms).toContainEqual({ at: 5, by: "single value", side: "high" });
  });

  test("below eight lots, or where nothing scatters, there is no chart; what is no number is refused", () => {
    expect(driftOf(steady.slice(0, minLotsForDrift - 1))).toBeNull();
    expect(driftOf(steady.map(() => 3))).toBeNull();
    expect(() => driftOf([...steady, Number.NaN])).toThrow(/number/);
  });

  // Source: NIST/SEMATECH e-Handbook 6.3.2.4 (EWMA weights and limits; λ, exact variance), from memory.
  test("the weighted mean is λ of the newest lot and 1 − λ of what was", () => {
    const drift = driftOf(steady);
    const middle = drift?.middle ?? Number.NaN;
    expect(drift?.smoothed[0]).toBeCloseTo(0.2 * 0.3 + 0.8 * middle, 12);
    expect(drift?.smoothed[1]).toBeCloseTo(0.2 * -0.7 + 0.8 * (drift?.smoothed[0] ?? Number.NaN), 12);
  });
});

describe("the next trial of the process", () => {
  const together = {
    result: [1, 2, 3, 4, 5, 6],
    factors: [
      { name: "temperature", values: [1500, 1520, 1540, 1560, 1580, 1600], from: 1450, to: 1650 },
      { name: "hours", values: [2, 4, 6, 8, 10, 12], from: 1, to: 14 },
    ],
    limits: { low: 2.5, high: 3.5 },
  };

  test("factors that rose together are moved apart, to opposite ends of what is allowed", () => {
    const { splitting } = nextProcessTrial(together);
    const [temperature, hours] = splitting?.settings.map((s) => s.value) ?? [];
    expect([
      [1450, 14],
      [1650, 1],
    ]).toContainEqual([temperature, hours]);
    expect(splitting?.gain).toBeGreaterThan(0.3);
    expect(splitting?.isExtrapolation).toBe(true);
  });

  test("law: never outside what the person allows", () => {
    for (const proposed of Object.values(nextProcessTrial(together)))
      for (const { factor, value } of proposed?.settings ?? []) {
        const allowed = together.factors.find((f) => f.name === factor);
        expect(value).toBeGreaterThanOrEqual(allowed?.from ?? Number.NaN);
        expect(value).toBeLessThanOrEqual(allowed?.to ?? Number.NaN);
      }
  });

  test("the likeliest setting is where the regression ends within the limits", () => {
    const { likeliest } = nextProcessTrial({
      result: [1.05, 1.96, 3.02, 3.99, 5.01, 5.97],
      factors: [{ name: "temperature", values: [1, 2, 3, 4, 5, 6], from: 1, to: 5 }],
      limits: { low: 2.5, high: 3.5 },
    });
    expect(likeliest?.settings).toEqual([{ factor: "temperature", value: 3 }]);
    expect(likeliest?.gain).toBeGreaterThan(0.95);
  });

  test("no factor or no lots: nothing is proposed", () => {
    expect(nextProcessTrial({ result: [1, 2], factors: [], limits: null }).splitting).toBeNull();
    expect(nextProcessTrial({ ...together, result: [1] }).splitting).toBeNull();
  });
});
