import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Family } from "#distributions/families/family.ts";
import { verbsOf } from "#distributions/families/fittedCurve.ts";
import { gatesGaudinSchuhmann } from "#distributions/families/gatesGaudinSchuhmann.ts";
import { logLogistic } from "#distributions/families/logLogistic.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { mixture } from "#distributions/families/mixture.ts";
import { quantileInOther } from "#distributions/families/otherQuantity.ts";
import { parametersOf } from "#distributions/families/parameters.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { upperLimitLogNormal } from "#distributions/families/upperLimit.ts";

/** What a law needs of a family with parameters: the verbs, bound. */
function bind<P>(name: string, family: Family<P>, p: P) {
  return {
    name,
    cdf: (x: number) => family.cdf(p, x),
    oversize: (x: number) => family.oversize(p, x),
    quantile: (q: number) => family.quantile(p, q),
    quantileOfOversize: (q: number) => family.quantileOfOversize(p, q),
    pdfPerLn: (x: number) => family.pdfPerLn(p, x),
    moment: (k: number) => family.moment(p, k),
    free: family.free.toFree(p),
    undersizeFree: (free: readonly number[]) => family.free.undersize(free),
    slopes: (free: readonly number[]) => family.free.slopes(free),
    parameterSlopes: (free: readonly number[]) => family.free.parameterSlopes(free),
  };
}

const two = {
  components: [
    { weight: 0.2, medianUm: 0.8, gsd: 1.5 },
    { weight: 0.8, medianUm: 3.1, gsd: 1.6 },
  ],
};
const families = [
  bind("log-normal", logNormal, { medianUm: 3, gsd: 1.7 }),
  bind("Rosin–Rammler", rosinRammler, { characteristicUm: 4, spreadExponent: 2.3 }),
  bind("Gates–Gaudin–Schuhmann", gatesGaudinSchuhmann, { topUm: 9, exponent: 2.4 }),
  bind("log-logistic", logLogistic, { medianUm: 3, exponent: 3.4 }),
  bind("upper-limit", upperLimitLogNormal, { topUm: 14, transformedMedian: 0.3, logSd: 0.7 }),
  bind("mixture", mixture, two),
];

describe.each(families)("the verbs of $name agree with each other", (family) => {
  const share = fc.double({ min: 1e-9, max: 0.5, noNaN: true });
  const near = (a: number, b: number, tolerance: number) => Math.abs(a / b - 1) <= tolerance;

  test("quantile(cdf(x)) = x to 1e-12 in the lower half, through oversize in the upper", () => {
    fc.assert(
      fc.property(
        share,
        (p) =>
          near(family.quantile(family.cdf(family.quantile(p))), family.quantile(p), 1e-12) &&
          near(
            family.quantileOfOversize(family.oversize(family.quantileOfOversize(p))),
            family.quantileOfOversize(p),
            1e-12,
          ),
      ),
    );
  });

  test("undersize and oversize add to 1; the density is the slope of the undersize in ln x", () => {
    for (const p of [0.02, 0.2, 0.5, 0.8, 0.97]) {
      const x = family.quantile(p);
      const h = 1e-5;
      expect(family.cdf(x) + family.oversize(x)).toBeCloseTo(1, 14);
      const slope = (family.cdf(x * Math.exp(h)) - family.cdf(x * Math.exp(-h))) / (2 * h);
      expect(family.pdfPerLn(x)).toBeCloseTo(slope, 7);
    }
  });

  test("a moment is the integral of x^k over the density, by Simpson's rule in ln x", () => {
    for (const k of [-1, 1]) {
      const from = Math.log(family.quantile(1e-13));
      // The upper-limit and Gates curves end at a top; the others' density is nothing there.
      const to = Math.log(family.quantileOfOversize(1e-13));
      const n = 20_000;
      const at = (i: number) => from + ((to - from) * i) / n;
      let sum = 0;
      for (let i = 0; i <= n; i++) {
        const x = Math.exp(at(i));
        sum += family.pdfPerLn(x) * x ** k * (i === 0 || i === n ? 1 : i % 2 === 1 ? 4 : 2);
      }
      const integral = (sum * (to - from)) / n / 3;
      expect(Math.abs((family.moment(k) ?? Number.NaN) / integral - 1)).toBeLessThan(1e-5);
    }
    expect(family.moment(0)).toBeCloseTo(1, 12);
  });

  test("the free form is the same curve, and its slopes are those of differences", () => {
    const h = 1e-6;
    for (const p of [0.05, 0.4, 0.9]) {
      const ln = Math.log(family.quantile(p));
      expect(family.undersizeFree(family.free)(ln)).toBeCloseTo(p, 12);
      const slopes = family.slopes(family.free)(ln);
      for (const [k, slope] of slopes.entries()) {
        const moved = (by: number) => family.free.map((v, j) => (j === k ? v + by : v));
        const difference =
          (family.undersizeFree(moved(h))(ln) - family.undersizeFree(moved(-h))(ln)) / (2 * h);
        expect(slope).toBeCloseTo(difference, 8);
      }
    }
  });
});

test("stated parameters follow their coordinates as their slopes say", () => {
  const check = <P extends object>(family: Family<P>, p: P, flat: (p: P) => number[]) => {
    const free = family.free.toFree(p);
    const slopes = family.free.parameterSlopes(free);
    const h = 1e-6;
    for (const k of free.keys()) {
      const at = (by: number) => flat(family.free.fromFree(free.map((v, j) => (j === k ? v + by : v))));
      const up = at(h);
      const down = at(-h);
      for (const [i, row] of slopes.entries())
        expect(row[k]).toBeCloseTo(((up[i] ?? 0) - (down[i] ?? 0)) / (2 * h), 6);
    }
    expect(flat(family.free.fromFree(free)).every((v, i) => Math.abs(v - (flat(p)[i] ?? 0)) < 1e-12)).toBe(
      true,
    );
  };
  check(logNormal, { medianUm: 3, gsd: 1.7 }, (p) => [p.medianUm, p.gsd]);
  check(rosinRammler, { characteristicUm: 4, spreadExponent: 2.3 }, (p) => [
    p.characteristicUm,
    p.spreadExponent,
  ]);
  check(gatesGaudinSchuhmann, { topUm: 9, exponent: 2.4 }, (p) => [p.topUm, p.exponent]);
  check(logLogistic, { medianUm: 3, exponent: 3.4 }, (p) => [p.medianUm, p.exponent]);
  check(upperLimitLogNormal, { topUm: 14, transformedMedian: 0.3, logSd: 0.7 }, (p) => [
    p.topUm,
    p.transformedMedian,
    p.logSd,
  ]);
  check(mixture, two, (parameters) => parametersOf({ family: "mixture", parameters }).map((p) => p.value));
});

describe("counted by another quantity", () => {
  test("the log-normal's number median is x50 exp(−3σ²) (Hatch and Choate), to 1e-6", () => {
    const curve = verbsOf({ family: "log-normal", parameters: { medianUm: 3, gsd: 1.7 } });
    const quantile = quantileInOther(curve, -3);
    const sigma = Math.log(1.7);
    expect(Math.abs((quantile?.(0.5) ?? 0) / (3 * Math.exp(-3 * sigma ** 2)) - 1)).toBeLessThan(1e-6);
    expect(
      Math.abs((quantile?.(0.1) ?? 0) / (3 * Math.exp(-3 * sigma ** 2 - 1.2815515655446004 * sigma)) - 1),
    ).toBeLessThan(1e-6);
  });
  test("a Rosin–Rammler has no number basis for n ≤ 3, and has one above", () => {
    const at = (spreadExponent: number) =>
      quantileInOther(
        verbsOf({ family: "rosin-rammler", parameters: { characteristicUm: 4, spreadExponent } }),
        -3,
      );
    expect(at(3)).toBeNull();
    // Worked by hand: with n = 6 the number density is t^(−1/2) e^(−t) in t = (x/x′)^6; P(1/2, t) = erf(√t) = 1/2 at √t = 0.4769362762.
    expect(at(6)?.(0.5)).toBeCloseTo(4 * 0.4769362762044699 ** (1 / 3), 5);
  });
});
