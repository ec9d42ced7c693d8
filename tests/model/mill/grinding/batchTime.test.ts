import { describe, expect, test } from "vitest";
import { undersizeAt } from "#distributions/curve.ts";
import { batchOf, curveAfter, doseForD50 } from "#model/mill/grinding/batchTime.ts";

// Closed form for pieces that spread as z^α and a rate that goes with size^α: the share coarser than x after a dose kt is
// that before times exp(−kt·x^α) (textbook; docs/science.md, Rosin–Rammler from grinding). The start lies wholly at the top.
const start = { edgesUm: [63, 64], undersize: [0, 1], power: 0 };

describe.each([0.8, 1, 1.3])("a batch with α = %d", (exponent) => {
  const batch = batchOf(start, { rateExponent: exponent, fragmentExponent: exponent }, 1);
  const doseOf = (d50Um: number) => Math.LN2 / d50Um ** exponent;
  test("is a Rosin–Rammler curve after any dose, at every size, to a tenth of a point", () => {
    for (const d50Um of [2, 5, 15]) {
      const curve = curveAfter(batch, doseOf(d50Um));
      for (const sizeUm of [0.5, 1, 2, 4, 8, 16, 32])
        expect(
          Math.abs(undersizeAt(curve, sizeUm) - 1 + Math.exp(-doseOf(d50Um) * sizeUm ** exponent)),
        ).toBeLessThan(0.001);
    }
  });
  test("reaches a median after the dose ln 2 over that size to the α, to 0.2 %", () => {
    for (const d50Um of [1.5, 5, 15]) {
      const dose = doseForD50(batch, d50Um) ?? 0;
      expect(Math.abs(dose / doseOf(d50Um) - 1)).toBeLessThan(0.002);
    }
  });
  test("has no dose for a median coarser than its start", () => {
    expect(doseForD50(batch, 70)).toBeNull();
  });
});
