import { expect, test } from "vitest";
import { curveOf } from "#distributions/curve.ts";
import { undersizeDifference } from "#model/compare/undersizeDifference.ts";
import { run } from "../plainPowders.ts";

// Hours of sleep gained with two drugs ("Student" 1908, Biometrika 6; as R's data set sleep), here as points finer than a
// size, moved up by 10. Welch's interval of their difference as t.test(extra ~ group, data = sleep) prints it:
// −3.3654832 to 0.2054832 (from memory).
const first = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0];
const second = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4];
const curves = (points: readonly number[]) =>
  points.map((v) => {
    const share = (10 + v) / 100;
    return curveOf(run([share, 1 - share]).distribution);
  });

test("the difference at a size has Welch's interval", () => {
  const [a, b] = [curves(first), curves(second)];
  const edgeUm = a[0]?.edgesUm[1] ?? 0;
  const [found] = undersizeDifference(a, b, [edgeUm]);
  expect(found?.value).toBeCloseTo(1.58, 9);
  expect(found?.interval?.low).toBeCloseTo(-0.2054832, 6);
  expect(found?.interval?.high).toBeCloseTo(3.3654832, 6);
});

test("two runs give no interval, equal runs one without width, no runs an error", () => {
  const [a, b] = [curves([1, 1, 1]), curves([2, 2, 2])];
  const edgeUm = a[0]?.edgesUm[1] ?? 0;
  expect(undersizeDifference(a.slice(1), b, [edgeUm])[0]?.interval).toBeNull();
  const [equal] = undersizeDifference(a, b, [edgeUm]);
  expect(equal?.interval?.low).toBeCloseTo(1, 9);
  expect(equal?.interval?.high).toBeCloseTo(1, 9);
  expect(() => undersizeDifference([], b, [edgeUm])).toThrow(/at least one/);
});
