import { expect, test } from "vitest";
import { bandCases, chanceBins } from "./simulations/bands.ts";
import { betCases } from "./simulations/betValues.ts";
import { floorCases } from "./simulations/floors.ts";
import { joiningCases } from "./simulations/joinings.ts";

// Short slices of what `npm run validate` simulates in full, with the width that so few lots need.

test("fits find the lowest floor known, and none says it converged on another: a slice", () => {
  const powders = 3;
  for (const { family, powder, found, falselyConverged } of floorCases(powders)) {
    // Of narrow parts in one log-normal's noise a start in twenty misses one: then the floors are within noise.
    expect(found, `${family}, ${powder}`).toBeGreaterThanOrEqual(
      powder.startsWith("log-normal") ? 2 : powders,
    );
    expect(falselyConverged, powder).toBe(0);
  }
}, 120_000);

test("joining on re-firing: found where 5 % joined, seldom claimed without: a slice", () => {
  for (const { powder, joinedShare, lots, claimed } of joiningCases(8)) {
    if (joinedShare > 0) expect(claimed, powder).toBeGreaterThanOrEqual(0.8 * lots);
    else expect(claimed, powder).toBeLessThanOrEqual(2);
  }
}, 120_000);

test("the interval of the BET value ahead: a slice", () => {
  const sets = 100;
  // Four standard errors of 95 %; beyond the pairs' areas the interval may be wide.
  const allowed = 4 * Math.sqrt((0.95 * 0.05) / sets);
  for (const { truth, place, pairs, share } of betCases(sets)) {
    expect(share, `${truth}, ${place}, ${pairs} pairs`).toBeGreaterThan(0.95 - allowed);
    if (place === "within") expect(share, `${truth}, ${pairs} pairs`).toBeLessThan(0.95 + allowed);
  }
}, 120_000);

test("the band about a reference holds a further run: a slice", () => {
  const sets = 60;
  const allowed = 4 * Math.sqrt((0.95 * 0.05) / sets);
  for (const { powder, runs, share } of bandCases(sets))
    expect(share, `${powder}, ${runs} runs`).toBeGreaterThan(0.95 - allowed);
}, 120_000);

test("the joint chance of conforming is about as often true: a slice", () => {
  for (const bin of chanceBins(150)) {
    if (bin.lots < 10) continue;
    const allowed = 4 * Math.sqrt(0.25 / bin.lots);
    const over = bin.said - bin.true;
    expect(bin.spread === "own" ? over : Math.abs(over), JSON.stringify(bin)).toBeLessThan(allowed);
  }
}, 120_000);
