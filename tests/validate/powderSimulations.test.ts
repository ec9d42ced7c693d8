import { expect, test } from "vitest";
import { joiningCases } from "./simulations/joinings.ts";

// Short slices of what `npm run validate` simulates in full, with the width that so few lots need.

test("joining on re-firing: found where 5 % joined, seldom claimed without: a slice", () => {
  for (const { powder, joinedShare, lots, claimed } of joiningCases(8)) {
    if (joinedShare > 0) expect(claimed, powder).toBeGreaterThanOrEqual(0.8 * lots);
    else expect(claimed, powder).toBeLessThanOrEqual(2);
  }
}, 120_000);
