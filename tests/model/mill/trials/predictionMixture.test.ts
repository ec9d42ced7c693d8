import { describe, expect, test } from "vitest";
import { growthByPercent, refiringGrowth } from "#model/mill/prediction/refiringGrowth.ts";
import { type Prediction, posteriorOf } from "#model/mill/trials/posterior.ts";
import { sumOf, thinPosterior, thinPrediction } from "#model/mill/trials/predictionMixture.ts";
import { mixtureQuantile } from "#model/numbers/normalMixture.ts";

// Every expected value is an identity of mixtures of normals: mean Σw·m, variance Σw(s² + m²) − mean².
function momentsOf({ weights, means, sds }: Prediction): { weight: number; mean: number; variance: number } {
  const over = (value: (i: number) => number) => weights.reduce((sum, w, i) => sum + w * value(i), 0);
  const mean = over((i) => means[i] ?? 0);
  return {
    weight: over(() => 1),
    mean,
    variance: over((i) => (sds[i] ?? 0) ** 2 + (means[i] ?? 0) ** 2) - mean ** 2,
  };
}
const count = 30;
const many: Prediction = {
  weights: Array.from({ length: count }, () => 1 / count),
  means: Array.from({ length: count }, (_, i) => 1 + 0.3 * Math.sin(i)),
  sds: Array.from({ length: count }, (_, i) => 0.1 + 0.02 * i),
};

describe("a mixture of normals", () => {
  test.each([2, 5, 8])("thinned to %i keeps its weight, mean and variance", (components) => {
    const thin = thinPrediction(many, components);
    expect(thin.weights.length).toBeLessThanOrEqual(components);
    const [before, after] = [momentsOf(many), momentsOf(thin)];
    expect(after.weight).toBeCloseTo(1, 12);
    expect(after.mean).toBeCloseTo(before.mean, 12);
    expect(after.variance).toBeCloseTo(before.variance, 12);
  });
  test("of a sum has the sum of means and of variances", () => {
    const other: Prediction = { weights: [0.25, 0.75], means: [-1, 2], sds: [0.5, 0.2] };
    const [a, b, sum] = [many, other, sumOf(many, other)].map(momentsOf);
    expect(sum?.mean).toBeCloseTo((a?.mean ?? 0) + (b?.mean ?? 0), 12);
    expect(sum?.variance).toBeCloseTo((a?.variance ?? 0) + (b?.variance ?? 0), 12);
  });
  test("of coefficients, thinned, keeps their means and what they vary", () => {
    const rows = [0, 1, 2, 3].map((x) => [1, x]);
    const posterior = posteriorOf(
      rows,
      [0.1, 1.05, 1.9, 3.1],
      [
        { mean: 0, sd: 1 },
        { mean: 1, sd: 0.5 },
      ],
      "flat",
    );
    const at = ({ components }: typeof posterior) => {
      const over = (value: (c: (typeof components)[number]) => number) =>
        components.reduce((sum, c) => sum + c.weight * value(c), 0);
      const slope = over((c) => c.mean[1] ?? 0);
      return [
        over(() => 1),
        slope,
        over((c) => (c.covariance[1]?.[1] ?? 0) + ((c.mean[1] ?? 0) - slope) ** 2),
      ];
    };
    const [before, after] = [at(posterior), at(thinPosterior(posterior, 6))];
    for (const [i, value] of after.entries()) expect(value).toBeCloseTo(before[i] ?? 0, 10);
  });
});

test("what re-firing does to a width is the difference of its percentiles' growths, D10, D50 and D90", () => {
  const pair = (lot: string, d10: number, d50: number, d90: number) => ({
    lot,
    percents: [10, 50, 90],
    milledUm: [1.6, 3, 5.4],
    refiredUm: [1.6 * d10, 3 * d50, 5.4 * d90],
  });
  const lots = [pair("a", 1.3, 1.2, 1.05), pair("b", 1.32, 1.21, 1.04), pair("c", 1.28, 1.19, 1.06)];
  const shift = growthByPercent(lots);
  if (shift === null) throw new Error("three pairs make a shift");
  const meanLn = (...growths: number[]) => growths.reduce((sum, g) => sum + Math.log(g), 0) / growths.length;
  const growth = refiringGrowth(shift);
  expect(mixtureQuantile(growth.fine, 0.5)).toBeCloseTo(meanLn(1.2, 1.21, 1.19) - meanLn(1.3, 1.32, 1.28), 4);
  expect(mixtureQuantile(growth.coarse, 0.5)).toBeCloseTo(
    meanLn(1.05, 1.04, 1.06) - meanLn(1.2, 1.21, 1.19),
    4,
  );
  expect(mixtureQuantile(growth.d50, 0.5)).toBeCloseTo(meanLn(1.2, 1.21, 1.19), 4);
});

test("a component that is merged with none stays what it was", () => {
  const component = (weight: number, at: number) => ({
    weight,
    sigma: 0.1 * at,
    mean: [at, -at],
    covariance: [
      [0.2, 0.05],
      [0.05, 0.3],
    ],
  });
  const first = component(0.8, 1);
  const thin = thinPosterior({ components: [first, component(0.16, 2), component(0.04, 4)] }, 2);
  expect(thin.components.length).toBe(2);
  expect(Array.from(thin.components[0]?.mean ?? [])).toEqual(first.mean);
  expect(thin.components[0]?.covariance.map((row) => Array.from(row))).toEqual(first.covariance);
  expect(thin.components[1]?.mean[0]).toBeCloseTo(2.4, 12);
});
