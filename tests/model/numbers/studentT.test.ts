import cdf from "@stdlib/stats-base-dists-t-cdf";
import quantile from "@stdlib/stats-base-dists-t-quantile";
import { describe, expect, test } from "vitest";
import { DomainError } from "#distributions/domainError.ts";
import { normalDeviate } from "#distributions/families/normalDeviate.ts";
import { normalForm } from "#distributions/families/normalForm.ts";
import { tCdf, tQuantile } from "#model/numbers/studentT.ts";

// Second opinion: @stdlib's distribution functions. The 40-digit references are in tests/validate/checks/specialFunctions.ts.
describe.each([0.3, 0.7, 1, 1.5, 2, 2.7, 3, 4, 5, 7.3, 10, 15, 20, 30, 45.5, 60, 120])(
  "Student's t with %s degrees, against a general library",
  (degrees) => {
    test("the quantile in both tails and in the middle", () => {
      for (const p of [1e-9, 1e-4, 0.005, 0.1, 0.3, 0.45, 0.55, 0.6, 0.8, 0.95, 0.995, 0.99999])
        expect(Math.abs(tQuantile(p, degrees) / quantile(p, degrees) - 1), `p ${p}`).toBeLessThan(2e-14);
      expect(tQuantile(0.5, degrees)).toBe(0);
    });

    test("the chance below a value", () => {
      for (const x of [-40, -5, -1, -0.3, -0.01, 0, 0.01, 0.7, 2, 6, 20])
        expect(Math.abs(tCdf(x, degrees) / cdf(x, degrees) - 1), `x ${x}`).toBeLessThan(1e-14);
    });
  },
);

test("very many degrees come close to the normal curve: 1.959964 for 0.975 (any statistical table)", () => {
  expect(tQuantile(0.975, 1e7)).toBeCloseTo(1.959964, 5);
  expect(tCdf(1.959964, 1e7)).toBeCloseTo(0.975, 6);
});

// The same values by another road: erfcinv of a general library, through normalDeviate.
test("degrees without end are the normal curve itself", () => {
  for (const p of [1e-12, 0.01, 0.3, 0.7, 0.975, 0.9999])
    expect(Math.abs(tQuantile(p, Number.POSITIVE_INFINITY) / normalDeviate(p) - 1), `p ${p}`).toBeLessThan(
      1e-14,
    );
  for (const z of [-8, -1, 0, 0.5, 3])
    expect(tCdf(z, Number.POSITIVE_INFINITY)).toBeCloseTo(normalForm.undersize(z), 15);
});

test("what is no probability and no number of degrees is refused", () => {
  for (const p of [0, 1, -0.1, Number.NaN]) expect(() => tQuantile(p, 3)).toThrow(DomainError);
  for (const degrees of [0, -1, Number.NaN]) {
    expect(() => tQuantile(0.9, degrees)).toThrow(DomainError);
    expect(() => tCdf(1, degrees)).toThrow(DomainError);
  }
});
