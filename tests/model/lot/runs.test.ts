import { describe, expect, test } from "vitest";
import { curveOf } from "#distributions/curve.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { type NamedMeasurement, sizeDistribution } from "#distributions/sizeDistribution.ts";
import { describeAnswer } from "#model/answers/lot/describeAnswer.ts";
import { runsAnswer } from "#model/answers/lot/runsAnswer.ts";
import { cvLimits } from "#model/lot/cvLimits.ts";
import { oddRun } from "#model/lot/oddRun.ts";
import { overRuns, pooledSpread } from "#model/lot/overRuns.ts";
import { chanceOfOrder, kendallScore, trendOf } from "#model/lot/trends.ts";

const edges = Array.from({ length: 61 }, (_, i) => 0.1 * 1000 ** (i / 60));
function run(medianUm: number, name: string, gsd = 1.6, file: string | null = null): NamedMeasurement {
  const q = (x: number) => logNormal.cdf({ medianUm, gsd }, x);
  const raw = edges.slice(1).map((x, i) => q(x) - q(edges[i] ?? 0));
  const sum = raw.reduce((a, b) => a + b, 0);
  return {
    file,
    name,
    distribution: sizeDistribution({
      quantity: "volume",
      lowerUm: edges.slice(0, -1),
      upperUm: edges.slice(1),
      shares: raw.map((v) => v / sum),
    }),
  };
}
const runsOf = (medians: readonly number[], file: string | null = null) =>
  medians.map((m, i) => run(m, `run ${i + 1}`, 1.6, file));

describe("intervals over runs", () => {
  test("three runs: Student's t on the logs (worked by hand; t(0.975; 2) = 4.3027 from tables)", () => {
    const over = overRuns([1, Math.E, Math.E ** 2], 0.95);
    expect(over.value).toBeCloseTo(Math.E, 12);
    expect(Math.log(over.high ?? 1)).toBeCloseTo(1 + 4.3026527 / Math.sqrt(3), 6);
    expect(over.basis).toBe("runs");
  });
  test("one run has none, unless a pooled spread has ten degrees of freedom (t(0.975; 10) = 2.2281 from tables)", () => {
    expect(overRuns([3], 0.95).low).toBeNull();
    expect(overRuns([3], 0.95, { sdLn: 0.1, degrees: 9 }).low).toBeNull();
    const over = overRuns([3], 0.95, { sdLn: 0.1, degrees: 10 });
    expect(over.basis).toBe("pooled lots");
    expect(Math.log((over.high ?? 1) / 3)).toBeCloseTo(2.2281389 * 0.1, 7);
  });
  test("a value that is not known, or not above zero, leaves the lot without one", () => {
    expect(overRuns([3, null, 3], 0.95).value).toBeNull();
    expect(overRuns([3, 0, 3], 0.95).value).toBeNull();
  });
  test("the pooled spread weighs lots by their degrees of freedom (ISO 5725-2, worked by hand)", () => {
    // ln values (0, 2) and (0, 3, 6): variances 2 and 9, degrees 1 and 2: (2 + 18)/3.
    const pooled = pooledSpread([[1, Math.E ** 2], [1, Math.E ** 3, Math.E ** 6], [5]]);
    expect(pooled?.degrees).toBe(3);
    expect(pooled?.sdLn).toBeCloseTo(Math.sqrt(20 / 3), 12);
  });
  test("describe lends the spread of other lots to a lot of one run", () => {
    const lots = [
      ...runsOf([2.9, 3, 3.1, 3.02, 2.95, 3.05], "a"),
      ...runsOf([3.9, 4, 4.1, 4.02, 3.95, 4.05], "b"),
      run(5, "alone", 1.6, "c"),
    ];
    const { lots: described, problems } = describeAnswer(lots, { densityGPerCm3: 4.55 });
    expect(described.map((lot) => lot.percentilesUm["50"]?.basis)).toEqual(["runs", "runs", "pooled lots"]);
    expect(problems.some((p) => /pooled over the other lots/.test(p.message))).toBe(true);
    const together = describeAnswer(lots, { densityGPerCm3: 4.55, lotsBy: "all" });
    expect(together.lots.map((lot) => lot.runs.length)).toEqual([13]);
  });
});

describe("scatter against limits", () => {
  test("CVs shown from three runs, judged from five; the limits double below 10 µm (ISO 13320, second-hand)", () => {
    const three = runsAnswer(runsOf([2.9, 3, 3.1]));
    expect(three.lots[0]?.scatter[1]?.cvPercent).toBeCloseTo(100 * (0.1 / 3), 1);
    expect(three.lots[0]?.scatter[1]?.isWithin).toBeNull();
    const one = runsAnswer(runsOf([2.9])).lots[0]?.scatter[1];
    expect([one?.meanUm, one?.cvPercent]).toEqual([expect.closeTo(2.9, 1), null]);
    expect(three.lots[0]?.scatter.map((s) => s.allowedPercent)).toEqual([10, 6, 10]);
    const coarse = runsAnswer(runsOf([29, 30, 31, 30, 30]));
    expect(coarse.lots[0]?.scatter.map((s) => s.allowedPercent)).toEqual([5, 3, 5]);
    const wide = runsAnswer(runsOf([20, 30, 40, 30, 25]), { limits: cvLimits["usp-429"] });
    expect(wide.lots[0]?.scatter[1]?.isWithin).toBe(false);
    expect(wide.sentence).toMatch(/above the limit for D10 \(15\.0 %\), D50 \(10\.0 %\)/);
  });
});

describe("odd runs", () => {
  const steady = [3, 3.01, 2.99, 3.005, 2.995, 3.008];
  test("the run that lies apart is named, with what the others differ by", () => {
    const { lots } = runsAnswer(runsOf([...steady, 3.3]));
    expect(lots[0]?.odd?.name).toBe("run 7");
    expect(lots[0]?.sentence).toMatch(/run 7 is an outlier: .* points from the mean of the other runs/);
  });
  test("none among steady runs, and none called among four", () => {
    expect(oddRun(runsOf(steady).map((r) => curveOf(r.distribution)))).toBeNull();
    expect(oddRun(runsOf([3, 3, 3, 4]).map((r) => curveOf(r.distribution)))).toBeNull();
  });
});

describe("copies", () => {
  test("identical runs and a mean of the others are found", () => {
    const runs = runsOf([3, 3.1, 2.9]);
    const twice = runsAnswer([...runs, run(3.1, "again")]);
    expect(twice.lots[0]?.identical).toEqual([["run 2", "again"]]);
    const first = runs[0];
    if (first === undefined) throw new RangeError("no run");
    const shares = first.distribution.shares.map(
      (_, i) => runs.reduce((sum, r) => sum + (r.distribution.shares[i] ?? 0), 0) / 3,
    );
    const average = {
      ...first,
      name: "average",
      distribution: sizeDistribution({ ...first.distribution, shares }),
    };
    expect(runsAnswer([...runs, average]).lots[0]?.meansOfOthers).toEqual(["average"]);
    expect(runsAnswer(runs).lots[0]?.meansOfOthers).toEqual([]);
  });
});

describe("trends", () => {
  test("Kendall's S and its exact chances (tables of Kendall 1938, from memory: n = 5, |S| = 10 is 0.0167, |S| ≥ 8 is 0.083)", () => {
    expect(kendallScore([1, 2, 3, 4, 5])).toBe(10);
    expect(kendallScore([2, 1, 3, 4, 5])).toBe(8);
    expect(chanceOfOrder(5, 10)).toBeCloseTo(2 / 120, 14);
    expect(chanceOfOrder(5, 8)).toBeCloseTo(10 / 120, 14);
    expect(chanceOfOrder(3, 3)).toBeCloseTo(1 / 3, 14);
  });
  test("five runs in order are a trend, three are not, unless the change is over three pooled SD of a difference", () => {
    expect(trendOf([5, 4, 3, 2, 1], null)).toBe("falling");
    expect(trendOf([3, 2, 1], null)).toBe("steady");
    expect(trendOf([3, 2, 1], 0.4)).toBe("falling");
    expect(trendOf([1, 2, null], 0.1)).toBe("steady");
  });
  test("D90 falling reads as still dispersing, D10 falling alone as breaking", () => {
    const dispersing = [2.2, 2, 1.9, 1.8, 1.75].map((gsd, i) => run(3, `run ${i + 1}`, gsd));
    expect(runsAnswer(dispersing).sentence).toMatch(/still dispersing/);
    const breaking = [0.02, 0.05, 0.09, 0.13, 0.17].map((weight, i) => {
      const base = run(3, `run ${i + 1}`);
      const fine = run(0.4, "fine", 1.3).distribution.shares;
      const shares = base.distribution.shares.map((v, k) => (1 - weight) * v + weight * (fine[k] ?? 0));
      // The coarse end is held still, so that only the fine end moves.
      return { ...base, distribution: sizeDistribution({ ...base.distribution, shares }) };
    });
    expect(runsAnswer(breaking).lots[0]?.scatter[0]?.trend).toBe("falling");
  });
});

test("of seven runs one pair out of order is a trend at 3 %, three are none (counted: 2 · 76/5040 = 3.02 %)", () => {
  expect(chanceOfOrder(7, 15)).toBeCloseTo(152 / 5040, 12);
  expect(trendOf([1, 2, 3, 4, 5, 7, 6], null)).toBe("rising");
  expect(trendOf([1, 2, 3, 4, 7, 6, 5], null)).toBe("steady");
});
