import { expect, test } from "vitest";
import { betCases } from "./simulations/betValues.ts";
import { joiningCases } from "./simulations/joinings.ts";

// Short slices of what `npm run validate` simulates in full, with the width that so few lots need.

test("joining on re-firing: found where 5 % joined, seldom claimed without: a slice", () => {
  for (const { powder, joinedShare, lots, claimed } of joiningCases(8)) {
    if (joinedShare > 0) expect(claimed, powder).toBeGreaterThanOrEqual(0.8 * lots);
    else expect(claimed, powder).toBeLessThanOrEqual(2);
  }
}, 120_000);

test("the interval of the BET value ahead: a slice", () => {
  const sets = 200;
  // Four standard errors of 95 %.
  const allowed = 4 * Math.sqrt((0.95 * 0.05) / sets);
  for (const { truth, pairs, share } of betCases(sets))
    expect(Math.abs(share - 0.95), `${truth}, ${pairs} pairs`).toBeLessThan(allowed);
}, 120_000);
