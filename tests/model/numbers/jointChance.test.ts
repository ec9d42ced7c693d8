import { describe, expect, test } from "vitest";
import { normalForm } from "#distributions/families/normalForm.ts";
import { sizeShiftAnswer } from "#model/answers/lot/sizeShiftAnswer.ts";
import type { Band } from "#model/band/band.ts";
import { bandFromRuns } from "#model/band/fromReference.ts";
import { chanceAllWithin } from "#model/numbers/jointChance.ts";
import { tCdf } from "#model/numbers/studentT.ts";
import { powder } from "../powder.ts";

const identity = (n: number, correlation = 0) =>
  Array.from({ length: n }, (_, i) => Array.from({ length: n }, (__, j) => (i === j ? 1 : correlation)));
const within = (n: number, reach: number) => Array.from({ length: n }, () => ({ low: -reach, high: reach }));
const zeros = (n: number) => new Array<number>(n).fill(0);

describe("the chance that several values are all within", () => {
  test("independent normals: the product (closed form)", () => {
    const found = chanceAllWithin(
      { means: zeros(3), covariance: identity(3), degrees: null },
      within(3, 1.5),
    );
    expect(found).toBeCloseTo((2 * normalForm.undersize(1.5) - 1) ** 3, 3);
  });
  test("one value is Student's t", () => {
    for (const degrees of [1, 2, 5, 30]) {
      const found = chanceAllWithin({ means: [0.3], covariance: [[1]], degrees }, [{ low: -1, high: 2 }]);
      expect(Math.abs(found - (tCdf(1.7, degrees) - tCdf(-1.3, degrees))), `${degrees}`).toBeLessThan(0.002);
    }
  });
  test("orthant of correlation ρ: 1/4 + asin ρ/2π, for normal and t alike (Sheppard)", () => {
    for (const [rho, degrees] of [
      [0.5, null],
      [-0.7, 4],
      [0.9, 10],
    ] as const) {
      const found = chanceAllWithin({ means: [0, 0], covariance: identity(2, rho), degrees }, [
        { low: 0, high: null },
        { low: 0, high: null },
      ]);
      expect(Math.abs(found - (0.25 + Math.asin(rho) / (2 * Math.PI)))).toBeLessThan(0.003);
    }
  });
  test("closer than stated: independent normals to 1e-12, orthants of two and three to 3e-4 (Sheppard; David 1953)", () => {
    for (const n of [1, 2, 4, 6]) {
      const found = chanceAllWithin(
        { means: zeros(n), covariance: identity(n), degrees: null },
        within(n, 1.5),
      );
      expect(Math.abs(found - (2 * normalForm.undersize(1.5) - 1) ** n)).toBeLessThan(1e-12);
    }
    const orthant = (n: number, rho: number, degrees: number | null) =>
      chanceAllWithin(
        { means: zeros(n), covariance: identity(n, rho), degrees },
        zeros(n).map(() => ({ low: 0, high: null })),
      );
    for (const rho of [-0.9, -0.5, 0.3, 0.7, 0.95])
      for (const degrees of [null, 3, 10])
        expect(Math.abs(orthant(2, rho, degrees) - (0.25 + Math.asin(rho) / (2 * Math.PI)))).toBeLessThan(
          1.5e-4,
        );
    for (const rho of [-0.3, 0.2, 0.5])
      expect(Math.abs(orthant(3, rho, null) - (1 / 8 + (3 * Math.asin(rho)) / (4 * Math.PI)))).toBeLessThan(
        3e-4,
      );
  });
  test("one value is Student's t to 2e-4, wherever it stands", () => {
    for (const degrees of [1, 2, 3, 5, 10, 30, 100])
      for (const [low, high, mean] of [
        [-1, 2, 0.3],
        [-2, 1, 0],
        [0, 3, 1],
      ] as const) {
        const found = chanceAllWithin({ means: [mean], covariance: [[1]], degrees }, [{ low, high }]);
        const wanted = tCdf(high - mean, degrees) - tCdf(low - mean, degrees);
        expect(Math.abs(found - wanted), `${degrees}: ${found - wanted}`).toBeLessThan(2e-4);
      }
  });
  test("values that move as one are one value, also where the covariance is singular", () => {
    const one = chanceAllWithin({ means: [0], covariance: [[1]], degrees: 5 }, within(1, 2));
    const three = chanceAllWithin({ means: zeros(3), covariance: identity(3, 1), degrees: 5 }, within(3, 2));
    expect(three).toBeCloseTo(one, 3);
  });
  test("the Studentised maximum modulus, 3 means, 10 degrees, 5 %: 2.75 (independent, shared scale)", () => {
    // Two-sided point for independent t's with a shared scale; Dunnett and Sobel type tables, from memory.
    const found = chanceAllWithin(
      { means: zeros(3), covariance: identity(3), degrees: 10 },
      within(3, 2.829),
    );
    expect(found).toBeCloseTo(0.95, 2);
  });
});

const runsAbout = (medianUm: number, gsd = 1.5) =>
  [-0.02, -0.007, 0.004, 0.011, 0.012].map((part) => powder(medianUm * (1 + part), gsd));
const band: Band = {
  version: 1,
  name: "b",
  stage: "re-fired",
  densityGPerCm3: null,
  rule: "two-sided",
  rows: [
    { limit: "d50Um", low: 2.9, high: 3.1 },
    { limit: "d90Um", low: 4.8, high: 5.3 },
  ],
  envelope: null,
};

describe("conforming jointly, and what would bring a lot back", () => {
  test("a lot 10 % too coarse is told to be finer, with the chance it would have", () => {
    const found = sizeShiftAnswer(runsAbout(3.3), band);
    expect(found?.chanceNow).toBeLessThan(0.02);
    expect(found?.sizeChangePercent).toBeGreaterThan(-11);
    expect(found?.sizeChangePercent).toBeLessThan(-7);
    expect(found?.sentence).toMatch(
      /Powder about .* % finer would bring the mean into the band \((over 99|at least 9\d) % chance of being in band\)/,
    );
  });
  test("under ten degrees of freedom a chance is a bound and says so; from ten on a figure", () => {
    const sentence = (...others: number[]) =>
      sizeShiftAnswer(runsAbout(3.08), band, { kept: others.map((um) => runsAbout(um)) })?.sentence;
    // Five runs a lot, so four degrees each: 4 + 4 = 8 are too few, 12 are enough.
    expect(sentence(3.1)).toMatch(/from at least \S+ %/);
    expect(sentence(3.1, 2.9)).not.toMatch(/at least/);
  });
  test("a lot in the middle is left alone", () => {
    expect(sizeShiftAnswer(runsAbout(3), band)?.sentence).toMatch(/No change is needed\.$/);
  });
  test("a lot that is too wide is told that no size helps, and which limit is in the way", () => {
    const found = sizeShiftAnswer(runsAbout(3, 2), band);
    expect(found?.fromPercent).toBeNull();
    expect(found?.sentence).toMatch(/No finer or coarser milling alone .* D90|D50/);
  });
  test("two runs know no chance but are still told the way", () => {
    const found = sizeShiftAnswer(runsAbout(3.3).slice(0, 2), band);
    expect(found?.chanceNow).toBeNull();
    expect(found?.sentence).toMatch(
      /is not known: it needs three runs, or other lots.*finer would bring the mean into the band\. The next lot: mill it finer, /,
    );
  });
});

test("a drawn band grows with its tolerance and its coverage", () => {
  const runs = runsAbout(3);
  const of = { name: "b", stage: "re-fired", densityGPerCm3: null };
  const width = (asked: Parameters<typeof bandFromRuns>[2]) => {
    const row = bandFromRuns(runs, of, asked).rows[0];
    return (row?.high ?? 0) - (row?.low ?? 0);
  };
  expect(width({ tolerancePercent: 20 })).toBeGreaterThan(width({}));
  expect(width({ tolerancePercent: 0.1, coverage: 0.99 })).toBeGreaterThan(width({ tolerancePercent: 0.1 }));
});

test("a value without scatter that lies just on its limit is within it, on either side", () => {
  const still = { means: [2], covariance: [[0]], degrees: null };
  expect(chanceAllWithin(still, [{ low: 2, high: null }])).toBe(1);
  expect(chanceAllWithin(still, [{ low: null, high: 2 }])).toBe(1);
  expect(chanceAllWithin(still, [{ low: 2.1, high: null }])).toBe(0);
});
