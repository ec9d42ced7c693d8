import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Family, SlidFamily } from "#distributions/families/family.ts";
import { verbsOf } from "#distributions/families/fittedCurve.ts";
import {
  type GatesGaudinSchuhmann,
  gatesGaudinSchuhmann,
} from "#distributions/families/gatesGaudinSchuhmann.ts";
import { type LogLogistic, logLogistic } from "#distributions/families/logLogistic.ts";
import { type LogNormal, logNormal } from "#distributions/families/logNormal.ts";
import { type Mixture, mixture } from "#distributions/families/mixture.ts";
import { quantileInOther } from "#distributions/families/otherQuantity.ts";
import { parametersOf } from "#distributions/families/parameters.ts";
import { type RosinRammler, rosinRammler } from "#distributions/families/rosinRammler.ts";
import { type UpperLimitLogNormal, upperLimitLogNormal } from "#distributions/families/upperLimit.ts";

/** Every expected value in this file is an identity: calculus or algebra between two verbs. */
interface FamilyCase {
  readonly name: string;
  readonly cdf: (x: number) => number;
  readonly oversize: (x: number) => number;
  readonly quantile: (p: number) => number;
  readonly quantileOfOversize: (p: number) => number;
  readonly pdfPerLn: (x: number) => number;
  readonly moment: (k: number) => number | null;
  /** Orders whose integral ends, and within the reach of a sum. */
  readonly orders: readonly number[];
  readonly free: readonly number[];
  /** By the coordinates: every stated parameter, flat. */
  readonly statedAt: (free: readonly number[]) => readonly number[];
  readonly freeUndersize: (free: readonly number[]) => (lnUm: number) => number;
  readonly freeSlopes: (free: readonly number[]) => (lnUm: number) => readonly number[];
  readonly parameterSlopes: (free: readonly number[]) => readonly (readonly number[])[];
  readonly stated: readonly number[];
}

function caseOf<P>(
  name: string,
  family: Family<P>,
  p: P,
  flat: (p: P) => readonly number[],
  orders: readonly number[] = [-3, -1, 1, 2.5],
): FamilyCase {
  const { free } = family;
  return {
    name,
    cdf: (x) => family.cdf(p, x),
    oversize: (x) => family.oversize(p, x),
    quantile: (q) => family.quantile(p, q),
    quantileOfOversize: (q) => family.quantileOfOversize(p, q),
    pdfPerLn: (x) => family.pdfPerLn(p, x),
    moment: (k) => family.moment(p, k),
    orders,
    free: free.toFree(p),
    statedAt: (at) => flat(free.fromFree(at)),
    freeUndersize: free.undersize,
    freeSlopes: free.slopes,
    parameterSlopes: free.parameterSlopes,
    stated: flat(p),
  };
}

const two = {
  components: [
    { weight: 0.3, medianUm: 0.8, gsd: 1.5 },
    { weight: 0.7, medianUm: 4, gsd: 1.7 },
  ],
};
const three = {
  components: [
    { weight: 0.2, medianUm: 0.5, gsd: 1.4 },
    { weight: 0.5, medianUm: 3, gsd: 1.6 },
    { weight: 0.3, medianUm: 12, gsd: 1.3 },
  ],
};
const byMedian = (p: LogNormal) => [p.medianUm, p.gsd];
const byCharacteristic = (p: RosinRammler) => [p.characteristicUm, p.spreadExponent];
const byTop = (p: GatesGaudinSchuhmann) => [p.topUm, p.exponent];
const byLogit = (p: LogLogistic) => [p.medianUm, p.exponent];
const byLimit = (p: UpperLimitLogNormal) => [p.topUm, p.transformedMedian, p.logSd];
const byComponent = (parameters: Mixture) =>
  parametersOf({ family: "mixture", parameters }).map((p) => p.value);

const cases: readonly FamilyCase[] = [
  caseOf("log-normal", logNormal, { medianUm: 3, gsd: 1.6 }, byMedian),
  caseOf(
    "narrow Rosin–Rammler",
    rosinRammler,
    { characteristicUm: 6, spreadExponent: 4.2 },
    byCharacteristic,
  ),
  caseOf(
    "broad Rosin–Rammler",
    rosinRammler,
    { characteristicUm: 4, spreadExponent: 2.3 },
    byCharacteristic,
    [-1, 1],
  ),
  caseOf("narrow Gates–Gaudin–Schuhmann", gatesGaudinSchuhmann, { topUm: 9, exponent: 5.2 }, byTop),
  caseOf("broad Gates–Gaudin–Schuhmann", gatesGaudinSchuhmann, { topUm: 9, exponent: 2.4 }, byTop, [-1, 1]),
  caseOf("narrow log-logistic", logLogistic, { medianUm: 3, exponent: 5.5 }, byLogit),
  caseOf("broad log-logistic", logLogistic, { medianUm: 3, exponent: 3.4 }, byLogit, [-1, 1]),
  caseOf(
    "upper-limit log-normal",
    upperLimitLogNormal,
    { topUm: 20, transformedMedian: 0.4, logSd: 0.7 },
    byLimit,
  ),
  caseOf("mixture of two", mixture, two, byComponent),
  caseOf("mixture of three", mixture, three, byComponent),
];

const shares = [1e-6, 0.01, 0.02, 0.16, 0.4, 0.5, 0.77, 0.9, 0.97];
const nudge = 1e-6;

describe.each(cases)("$name", (c) => {
  test("the quantile undoes the undersize to 1e-12 in the lower half, through the oversize in the upper", () => {
    const isNear = (a: number, b: number) => Math.abs(a / b - 1) <= 1e-12;
    fc.assert(
      fc.property(fc.double({ min: 1e-9, max: 0.5, noNaN: true }), (p) => {
        const low = c.quantile(p);
        const high = c.quantileOfOversize(p);
        return isNear(c.quantile(c.cdf(low)), low) && isNear(c.quantileOfOversize(c.oversize(high)), high);
      }),
    );
  });

  test.each(shares)("at %f undersize and oversize lead back, and add to 1", (p) => {
    expect(c.cdf(c.quantile(p)) / p).toBeCloseTo(1, 9);
    expect(c.oversize(c.quantileOfOversize(p)) / p).toBeCloseTo(1, 9);
    expect(c.cdf(c.quantile(p)) + c.oversize(c.quantile(p))).toBeCloseTo(1, 14);
  });

  test.each(shares)("the density at the quantile of %f is the slope of the undersize by ln x", (p) => {
    const ln = Math.log(c.quantile(p));
    const rise = c.cdf(Math.exp(ln + nudge)) - c.cdf(Math.exp(ln - nudge));
    expect(c.pdfPerLn(Math.exp(ln))).toBeCloseTo(rise / (2 * nudge), 8);
  });

  test("a moment is the integral of x^k times the density, by Simpson's rule in ln x", () => {
    const from = Math.log(c.quantile(1e-20));
    // Not so near a top that rounding steps over it.
    const to = Math.log(c.quantileOfOversize(1e-13));
    const count = 20_000;
    const width = (to - from) / count;
    for (const k of c.orders) {
      let sum = 0;
      for (let i = 0; i <= count; i++) {
        const x = Math.exp(from + i * width);
        sum += c.pdfPerLn(x) * x ** k * (i === 0 || i === count ? 1 : i % 2 === 1 ? 4 : 2);
      }
      expect(Math.abs((c.moment(k) ?? Number.NaN) / ((sum * width) / 3) - 1)).toBeLessThan(1e-5);
    }
    expect(c.moment(0)).toBeCloseTo(1, 12);
  });

  test("its coordinates lead back to its parameters and to the same curve", () => {
    for (const [i, value] of c.statedAt(c.free).entries())
      expect(value / (c.stated[i] ?? Number.NaN)).toBeCloseTo(1, 12);
    for (const p of shares) {
      const undersize = c.freeUndersize(c.free)(Math.log(c.quantile(p)));
      expect(undersize / p).toBeCloseTo(1, 8);
      expect(undersize).toBeCloseTo(p, 12);
    }
  });

  test("slopes by the coordinates are differences of the undersize", () => {
    for (const p of [0.05, 0.3, 0.5, 0.8, 0.9]) {
      const ln = Math.log(c.quantile(p));
      expect(c.freeSlopes(c.free)(ln)).toHaveLength(c.free.length);
      for (const [j, slope] of c.freeSlopes(c.free)(ln).entries()) {
        const moved = (by: number) => c.free.map((v, k) => (k === j ? v + by : v));
        const rise = c.freeUndersize(moved(nudge))(ln) - c.freeUndersize(moved(-nudge))(ln);
        expect(slope).toBeCloseTo(rise / (2 * nudge), 8);
      }
    }
  });

  test("slopes of the parameters by the coordinates are differences of the parameters", () => {
    const slopes = c.parameterSlopes(c.free);
    expect(slopes.length).toBe(c.stated.length);
    for (const [i, row] of slopes.entries()) {
      expect(row.length).toBe(c.free.length);
      for (const [j, slope] of row.entries()) {
        const moved = (by: number) => c.statedAt(c.free.map((v, k) => (k === j ? v + by : v)))[i] ?? 0;
        expect(slope).toBeCloseTo((moved(nudge) - moved(-nudge)) / (2 * nudge), 6);
      }
    }
  });

  test("a share of 0 or 1 and a size below zero are refused", () => {
    for (const of of [c.quantile, c.quantileOfOversize]) {
      expect(() => of(0)).toThrow(/fraction/);
      expect(() => of(1)).toThrow(/fraction/);
    }
    expect(() => c.cdf(-1)).toThrow(/sizeUm/);
    expect(c.cdf(0)).toBe(0);
    expect(c.oversize(0)).toBe(1);
  });
});

test("slopes of a mixture's parameters follow its medians, in whatever order its coordinates name them", () => {
  const [first, second, third] = three.components;
  if (first === undefined || second === undefined || third === undefined) throw new Error("three it has");
  const flat = (free: readonly number[]) =>
    mixture.free.fromFree(free).components.flatMap((c) => [c.weight, c.medianUm, c.gsd]);
  const free = mixture.free.toFree({ components: [third, first, second] });
  const nudge = 1e-5;
  for (const [i, row] of mixture.free.parameterSlopes(free).entries())
    for (const [j, slope] of row.entries()) {
      const moved = (by: number) => flat(free.map((v, k) => (k === j ? v + by : v)))[i] ?? 0;
      expect(slope).toBeCloseTo((moved(nudge) - moved(-nudge)) / (2 * nudge), 6);
    }
});

describe("parameters outside the domain are refused by name", () => {
  test.each([0, -1, Number.POSITIVE_INFINITY])("%f", (bad) => {
    expect(() => logNormal.cdf({ medianUm: bad, gsd: 1.6 }, 3)).toThrow(/medianUm/);
    expect(() => rosinRammler.cdf({ characteristicUm: bad, spreadExponent: 2 }, 3)).toThrow(
      /characteristicUm/,
    );
    expect(() => rosinRammler.cdf({ characteristicUm: 3, spreadExponent: bad }, 3)).toThrow(/spreadExponent/);
    expect(() => gatesGaudinSchuhmann.cdf({ topUm: bad, exponent: 2 }, 3)).toThrow(/topUm/);
    expect(() => gatesGaudinSchuhmann.cdf({ topUm: 5, exponent: bad }, 3)).toThrow(/exponent/);
    expect(() => logLogistic.cdf({ medianUm: bad, exponent: 2 }, 3)).toThrow(/medianUm/);
    expect(() => logLogistic.cdf({ medianUm: 3, exponent: bad }, 3)).toThrow(/exponent/);
    expect(() => upperLimitLogNormal.cdf({ topUm: bad, transformedMedian: 1, logSd: 1 }, 3)).toThrow(/topUm/);
  });
  test("a geometric standard deviation of 1 is a step, no log-normal", () => {
    expect(() => logNormal.cdf({ medianUm: 3, gsd: 1 }, 3)).toThrow(/gsd/);
  });
  test("parameters just above their limit are taken", () => {
    expect(rosinRammler.cdf({ characteristicUm: 0.5, spreadExponent: 0.5 }, 0.5)).toBeCloseTo(
      1 - Math.exp(-1),
      14,
    );
    expect(logNormal.cdf({ medianUm: 0.5, gsd: 1.5 }, 0.5)).toBe(0.5);
  });
  test("weights that do not add to 1 are refused", () => {
    const off = { components: two.components.map((c) => ({ ...c, weight: 0.6 })) };
    expect(() => mixture.cdf(off, 3)).toThrow(/weights/);
  });
});

describe("a start has the median and the ratio of D84 to D16 it was asked for", () => {
  function check<P>(family: SlidFamily<P>) {
    const p = family.start(3, 0.9);
    expect(family.quantile(p, 0.5)).toBeCloseTo(3, 12);
    expect(Math.log(family.quantile(p, 0.84) / family.quantile(p, 0.16))).toBeCloseTo(0.9, 12);
  }
  test("log-normal", () => check(logNormal));
  test("Rosin–Rammler", () => check(rosinRammler));
  test("Gates–Gaudin–Schuhmann", () => check(gatesGaudinSchuhmann));
  test("log-logistic", () => check(logLogistic));
});

describe("each shape's slope and curvature are the differences of its undersize", () => {
  test.each([
    ["log-normal", logNormal.form],
    ["Rosin–Rammler", rosinRammler.form],
    ["Gates–Gaudin–Schuhmann", gatesGaudinSchuhmann.form],
    ["log-logistic", logLogistic.form],
  ])("%s", (_, form) => {
    for (const u of [-2.3, -1, -0.4, 0.3, 1.1]) {
      expect(form.slope(u)).toBeCloseTo(
        (form.undersize(u + nudge) - form.undersize(u - nudge)) / (2 * nudge),
        8,
      );
      expect(form.curvature(u)).toBeCloseTo((form.slope(u + nudge) - form.slope(u - nudge)) / (2 * nudge), 8);
    }
  });
});

describe("moments end where their integral does", () => {
  test("Rosin–Rammler: order −n and below", () => {
    const p = { characteristicUm: 6, spreadExponent: 2 };
    expect(rosinRammler.moment(p, -2)).toBeNull();
    expect(rosinRammler.moment(p, -1.5)).not.toBeNull();
  });
  test("Gates–Gaudin–Schuhmann: order −m and below", () => {
    const p = { topUm: 6, exponent: 2 };
    expect(gatesGaudinSchuhmann.moment(p, -2)).toBeNull();
    expect(gatesGaudinSchuhmann.moment(p, -1)).toBeCloseTo(2 / 6, 14);
  });
  test("log-logistic: order m, either way", () => {
    const p = { medianUm: 3, exponent: 2 };
    expect(logLogistic.moment(p, 2)).toBeNull();
    expect(logLogistic.moment(p, -2)).toBeNull();
    expect(logLogistic.moment(p, 0)).toBe(1);
  });
});

test("nothing lies above the top of the families that have one", () => {
  const line = { topUm: 9, exponent: 3.4 };
  const limit = { topUm: 9, transformedMedian: 0.4, logSd: 0.7 };
  for (const x of [9, 9.01, 100]) {
    expect([gatesGaudinSchuhmann.cdf(line, x), gatesGaudinSchuhmann.oversize(line, x)]).toEqual([1, 0]);
    expect([upperLimitLogNormal.cdf(limit, x), upperLimitLogNormal.oversize(limit, x)]).toEqual([1, 0]);
    expect(upperLimitLogNormal.pdfPerLn(limit, x)).toBe(0);
    const free = upperLimitLogNormal.free.toFree(limit);
    expect(upperLimitLogNormal.free.undersize(free)(Math.log(x * 1.0001))).toBe(1);
    expect(upperLimitLogNormal.free.slopes(free)(Math.log(x * 1.0001))).toEqual([0, 0, 0]);
  }
  expect(gatesGaudinSchuhmann.pdfPerLn(line, 9.01)).toBe(0);
});

describe("percentiles of a curve counted by another quantity", () => {
  const curve = verbsOf({ family: "log-normal", parameters: { medianUm: 3, gsd: 1.6 } });
  // Hatch and Choate: counting k orders lower slides a log-normal's median by exp(kσ²) and keeps its width.
  test.each([-3, -1, 2])("a log-normal %i orders away is a log-normal (Hatch and Choate)", (k) => {
    const quantile = quantileInOther(curve, k);
    const moved = { medianUm: 3 * Math.exp(k * Math.log(1.6) ** 2), gsd: 1.6 };
    for (const p of [0.05, 0.1, 0.5, 0.9])
      expect((quantile?.(p) ?? 0) / logNormal.quantile(moved, p)).toBeCloseTo(1, 6);
  });
  test("however far the count moves a broad powder", () => {
    // 27 in ln x, nine standard deviations: nothing of the new curve lies where the old one does.
    const broad = verbsOf({ family: "log-normal", parameters: { medianUm: 3, gsd: Math.exp(3) } });
    const quantile = quantileInOther(broad, -3);
    for (const p of [0.05, 0.5, 0.95])
      expect(Math.log(quantile?.(p) ?? 1)).toBeCloseTo(
        Math.log(logNormal.quantile({ medianUm: 3 * Math.exp(-27), gsd: Math.exp(3) }, p)),
        4,
      );
  });
  test("at its own order it is the curve itself", () => {
    expect(quantileInOther(curve, 0)?.(0.3)).toBe(curve.quantile(0.3));
  });
  test("a Rosin–Rammler has no number basis for n ≤ 3, and has one above", () => {
    const at = (spreadExponent: number) =>
      quantileInOther(
        verbsOf({ family: "rosin-rammler", parameters: { characteristicUm: 4, spreadExponent } }),
        -3,
      );
    expect(at(2)).toBeNull();
    expect(at(3)).toBeNull();
    // Worked by hand: with n = 6 the number density is t^(−1/2) e^(−t) in t = (x/x′)^6; P(1/2, t) = erf(√t) = 1/2 at √t = 0.4769362762.
    expect(at(6)?.(0.5)).toBeCloseTo(4 * 0.4769362762044699 ** (1 / 3), 5);
  });
});
