import { describe, expect, test } from "vitest";
import {
  arithmeticMeanUm,
  convert,
  geometricMeanUm,
  geometricSurface,
  meanDiameterUm,
  meanOfPower,
  moment,
  standardDeviationUm,
} from "#distributions/moments.ts";
import { inClassRules, sizeDistribution } from "#distributions/sizeDistribution.ts";

/** The mean of f over one class under a rule, by many small steps: the independent route. */
function meanByRule(
  a: number,
  b: number,
  rule: string,
  weight: (x: number) => number,
  f: (x: number) => number,
) {
  const count = 20_000;
  let sum = 0;
  let whole = 0;
  for (let i = 0; i < count; i++) {
    const part = (i + 0.5) / count;
    const x = rule === "uniform" ? a + part * (b - a) : a * (b / a) ** part;
    sum += weight(x) * f(x);
    whole += weight(x);
  }
  return sum / whole;
}

const a = 1.3;
const b = 4.2;
const middles: Record<string, number> = {
  "geometric-mid": Math.sqrt(a * b),
  "arithmetic-mid": (a + b) / 2,
  "upper-edge": b,
};

describe("means over one class", () => {
  test.each(inClassRules)(
    "%s: powers and, through D[p,p], logarithms, against sums of small steps",
    (rule) => {
      for (const k of [-3, -1, 0, 1, 2.5]) {
        const middle = middles[rule];
        const wanted =
          middle === undefined
            ? meanByRule(
                a,
                b,
                rule,
                () => 1,
                (x) => x ** k,
              )
            : middle ** k;
        expect(meanOfPower(a, b, k, rule) / wanted).toBeCloseTo(1, 6);
      }
      const m = sizeDistribution({
        quantity: "volume",
        inClass: rule,
        lowerUm: [a],
        upperUm: [b],
        shares: [1],
      });
      for (const p of [0, 2, 3, 4]) {
        const middle = middles[rule];
        const wanted =
          middle ??
          Math.exp(
            meanByRule(
              a,
              b,
              rule,
              (x) => x ** (p - 3),
              (x) => Math.log(x),
            ),
          );
        expect((meanDiameterUm(m, p, p) ?? 0) / wanted).toBeCloseTo(1, 6);
      }
      expect(geometricMeanUm(m)).toBeCloseTo(meanDiameterUm(m, 3, 3) ?? 0, 12);
    },
  );

  test("narrow classes join wide ones smoothly: the mean of ln x stays between the edges and rises with the weight", () => {
    // The series of coth: in a log-uniform class under weight x^k the mean of ln x is mid + w(u/12 − u³/720), u = kw.
    for (const width of [1e-4, 3e-3, 4e-3, 2e-2]) {
      const m = sizeDistribution({
        quantity: "volume",
        lowerUm: [1],
        upperUm: [Math.exp(width)],
        shares: [1],
      });
      const at = Math.log(meanDiameterUm(m, 5, 5) ?? 0);
      expect(at / width).toBeCloseTo(0.5 + (2 * width) / 12 - (2 * width) ** 3 / 720, 10);
    }
  });
});

const two = sizeDistribution({ quantity: "volume", lowerUm: [1, 2], upperUm: [2, 4], shares: [0.25, 0.75] });

describe("moments and means of a distribution", () => {
  test("the arithmetic mean of log-uniform classes is the shares' mean of (b − a)/ln(b/a)", () => {
    expect(arithmeticMeanUm(two)).toBeCloseTo((0.25 * 1 + 0.75 * 2) / Math.LN2, 12);
    expect(moment(two, 0)).toBeCloseTo(1, 14);
    expect(geometricMeanUm(two)).toBeCloseTo(2 ** (0.25 * 0.5 + 0.75 * 1.5), 12);
    expect(meanDiameterUm(two, 4, 3)).toBeCloseTo(arithmeticMeanUm(two) ?? 0, 14);
  });
  test("D[p,q] of orders two apart takes the square root", () => {
    expect(meanDiameterUm(two, 5, 3)).toBeCloseTo(Math.sqrt(moment(two, 2) ?? 0), 12);
    expect(meanDiameterUm(two, 3, 1)).toBeCloseTo((moment(two, -2) ?? 0) ** -0.5, 12);
  });
  test("the deviation is the root of the second moment less the mean squared", () => {
    const mean = arithmeticMeanUm(two) ?? 0;
    expect(standardDeviationUm(two)).toBeCloseTo(Math.sqrt((moment(two, 2) ?? 0) - mean ** 2), 12);
  });
  test("orders that are no numbers are refused", () => {
    expect(() => meanDiameterUm(two, Number.NaN, 3)).toThrow(/order/);
    expect(() => meanDiameterUm(two, 4, Number.POSITIVE_INFINITY)).toThrow(/order/);
  });
  test("0.0005 unseen is borne and more is not, by each of them", () => {
    const open = (below: number) =>
      sizeDistribution({
        quantity: "volume",
        lowerUm: [1, 2],
        upperUm: [2, 4],
        shares: [0.25, 0.75 - below],
        belowShare: below,
      });
    const all = (below: number) => {
      const m = open(below);
      return [
        moment(m, 1),
        meanDiameterUm(m, 4, 3),
        arithmeticMeanUm(m),
        geometricMeanUm(m),
        standardDeviationUm(m),
        convert(m, "number"),
      ];
    };
    for (const v of all(0.0005)) expect(v).not.toBeNull();
    for (const v of all(0.000501)) expect(v).toBeNull();
  });
  test("the shares unseen stay as they are after a conversion", () => {
    const m = sizeDistribution({
      quantity: "volume",
      lowerUm: [1, 2],
      upperUm: [2, 4],
      shares: [0.25, 0.7496],
      belowShare: 0.0001,
      aboveShare: 0.0003,
    });
    const number = convert(m, "number");
    expect(number?.belowShare).toBe(0.0001);
    expect(number?.aboveShare).toBe(0.0003);
    // Mean of x⁻³ in a log-uniform class (1 − r⁻³)/(3 ln r)·a⁻³: an octave further up it is an eighth.
    const fine = 0.25 / (0.25 + 0.7496 / 8);
    expect((number?.shares[0] ?? 0) / 0.9996).toBeCloseTo(fine, 12);
    expect(convert(m, "volume")).toBe(m);
  });
});

describe("geometric area", () => {
  test("6/(ρ D[3,2]), and the share in the classes alone counts", () => {
    const d32 = meanDiameterUm(two, 3, 2) ?? 0;
    expect(geometricSurface(two, 4.5)?.m2PerG).toBeCloseTo(6 / (4.5 * d32), 12);
    expect(geometricSurface(two, 4.5)?.isLowerBound).toBe(false);
    expect(geometricSurface(two, 0.5)?.m2PerG).toBeCloseTo(12 / d32, 12);
    const half = sizeDistribution({
      quantity: "volume",
      lowerUm: [1, 2],
      upperUm: [2, 4],
      shares: [0.125, 0.375],
      belowShare: 0.3,
      aboveShare: 0.2,
    });
    expect(geometricSurface(half, 4.5)?.m2PerG).toBeCloseTo(0.5 * (6 / (4.5 * d32)), 12);
    expect(geometricSurface(half, 4.5)?.isLowerBound).toBe(true);
  });
  test("none without powder in the classes; one class with powder is enough", () => {
    const m = (shares: number[], belowShare: number) =>
      sizeDistribution({ quantity: "volume", lowerUm: [1, 2], upperUm: [2, 4], shares, belowShare });
    expect(geometricSurface(m([0, 0], 1), 4)).toBeNull();
    expect(geometricSurface(m([0, 0.5], 0.5), 4)).not.toBeNull();
  });
  test.each([0, -1, Number.POSITIVE_INFINITY, Number.NaN])("a density of %f is refused", (density) => {
    expect(() => geometricSurface(two, density)).toThrow(/densityGPerCm3/);
  });
});
