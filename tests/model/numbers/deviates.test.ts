import fc from "fast-check";
import { expect, test } from "vitest";
import { normalDeviate } from "#distributions/families/normalDeviate.ts";
import { deviatesFrom } from "#model/numbers/kernels/deviates.ts";

// Outside truth: the inverse of the complementary error function, which the table is made of.
test("deviates from the table are those of the inverse error function", () => {
  const quick = deviatesFrom(normalDeviate);
  const near = (share: number) => {
    expect(Math.abs(quick(share) - normalDeviate(share))).toBeLessThan(1e-10);
  };
  for (const share of [1e-12, 1e-9, 0.001, 0.499999, 0.5, 0.500001, 0.9, 1 - 1e-9]) near(share);
  fc.assert(fc.property(fc.double({ min: -12, max: -1e-6, noNaN: true }), (power) => near(10 ** power)));
  fc.assert(fc.property(fc.double({ min: -9, max: -0.3, noNaN: true }), (power) => near(1 - 10 ** power)));
});
