import { expect, test } from "vitest";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { aerodynamicUm, airMeanFreePathM } from "#model/fines/aerodynamic.ts";
import { conventionalShare } from "#model/fines/conventions.ts";
import { fineFractions } from "#model/fines/fineFractions.ts";

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

test("what lies outside the classes widens a fraction: below counts in full at most, above as at the last edge", () => {
  const open = sizeDistribution({
    quantity: "volume",
    lowerUm: [2],
    upperUm: [4],
    shares: [0.7],
    belowShare: 0.1,
    aboveShare: 0.2,
  });
  const { low = 0, high = 0 } = fineFractions(open, 1, 1)?.respirable ?? {};
  const at = (um: number) => conventionalShare("respirable", um);
  expect(high - low).toBeCloseTo(0.1 * (1 - at(2)) + 0.2 * at(4), 10);
});
