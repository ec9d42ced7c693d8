import { expect, test } from "vitest";
import { budgetCases } from "./simulations/budgets.ts";
import { releaseBins, releaseCases, releaseIsWithin } from "./simulations/release.ts";
import { outsideBy } from "./simulations/secondLab/lab.ts";
import { budgets, releases } from "./simulations/secondLab/lots.ts";
import { betsAhead, growths } from "./simulations/secondLab/others.ts";
import { runIntervals } from "./simulations/secondLab/runs.ts";
import {
  dipCases,
  logConcaveShapes,
  lumpCases,
  shoulderCases,
  shoulderShapes,
} from "./simulations/shapes.ts";

// Short slices of what `npm run validate` simulates in full, with the width that so few lots need.

test("a lot's chance of conforming is true as often as it says: a slice", () => {
  const cases = releaseCases.filter((c) => c.rows === 3 && c.runs === 3 && c.judged !== "2.5 SD");
  for (const bin of releaseBins(100, cases)) expect(releaseIsWithin(bin), JSON.stringify(bin)).toBe(true);
}, 60_000);

test("an expanded uncertainty of 95 % reaches the truth: a slice", () => {
  // Four standard errors of 95 % over 600 sets, and the shortfall of two degrees.
  for (const { design, share } of budgetCases(600)) expect(share, design).toBeGreaterThan(0.92 - 0.036);
}, 60_000);

test("lumps and dips: none without cause, all that are there; shoulders likewise: a slice", () => {
  for (const { shape, said, lots, isThere } of [...lumpCases(8), ...dipCases(8)])
    expect(said, shape).toBe(isThere ? lots : 0);
  const some = [...logConcaveShapes.slice(0, 10), ...shoulderShapes.slice(0, 1)];
  for (const { shape, said } of shoulderCases(2, 0.3, some))
    expect(said, shape).toBe(shoulderShapes.some((s) => s.shape === shape) ? 2 : 0);
}, 60_000);

test("in a second laboratory what is said comes true, copies of runs among them: a slice", () => {
  const counted = [...runIntervals(12), ...releases(8), ...budgets(8), ...betsAhead(30), ...growths(20)];
  // Serial scatter is shown on the page, not asked for. Four and a half standard errors: some ninety cases are looked at.
  for (const one of counted.filter(({ where }) => !where.includes("serial")))
    expect(-outsideBy(one), JSON.stringify(one)).toBeLessThan(4.5);
  expect(counted.length).toBeGreaterThan(80);
}, 60_000);
