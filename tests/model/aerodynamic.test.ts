import { expect, test } from "vitest";
import { aerodynamicUm, airMeanFreePathM } from "#model/fines/aerodynamic.ts";

// Falls as fast: x²·ρ/χ·Cc(x) = D²·Cc(D), with the slip of Davies (1945) written out anew: 1 + Kn(1.257 + 0.400·exp(−1.10/Kn)),
// Kn = 2λ/x, both in µm.
function cunningham(um: number): number {
  const knudsen = (2 * airMeanFreePathM * 1e6) / um;
  return 1 + knudsen * (1.257 + 0.4 * Math.exp(-1.1 / knudsen));
}

test.each([0.05, 0.3, 1, 10])("a particle of %d µm falls as fast as its aerodynamic sphere", (sizeUm) => {
  for (const [densityGPerCm3, shapeFactor] of [
    [4.55, 1.2],
    [0.6, 1],
  ] as const) {
    const diameter = aerodynamicUm(sizeUm, densityGPerCm3, shapeFactor);
    const settles = (sizeUm ** 2 * densityGPerCm3 * cunningham(sizeUm)) / shapeFactor;
    expect((diameter ** 2 * cunningham(diameter)) / settles).toBeCloseTo(1, 11);
  }
  expect(aerodynamicUm(sizeUm, 1, 1)).toBeCloseTo(sizeUm, 11);
});
