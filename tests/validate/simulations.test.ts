import { expect, test } from "vitest";
import { chainCases } from "./simulations/chain.ts";
import { coverage } from "./simulations/coverage.ts";
import { adviceCase, driftCases, idleCases, nullCases, powerCases } from "./simulations/factors.ts";
import { humpCases } from "./simulations/humps.ts";
import { advice, lawCoverage, leastCoverage, millCoverage } from "./simulations/mill.ts";
import { inBandCalibration } from "./simulations/millInBand.ts";
import { oddCases } from "./simulations/oddRuns.ts";
import { oddTrialCases } from "./simulations/oddTrials.ts";
import { streamCases } from "./simulations/streams.ts";

// Short slices of what `npm run validate` simulates in full, with the width that so few lots need.

test("intervals over runs cover nothing like too little: a slice of the coverage", () => {
  const lots = 40;
  // Five standard errors of 95 % over 40 lots: what covers three quarters or less is caught. Runs that hang together cover less, as the page shows.
  const allowed = 5 * Math.sqrt((0.95 * 0.05) / lots);
  for (const { powder, scatter, runs, quantity, share } of coverage(lots, ["normal", "skewed"]))
    expect(share, `${powder}, ${scatter}, ${runs} runs, ${quantity}`).toBeGreaterThan(0.95 - allowed);
}, 120_000);

test("second humps: none claimed of single humps, most of the true ones: a slice", () => {
  for (const { powder, hasTwo, lots, claimed } of humpCases(4)) {
    if (hasTwo) expect(claimed, powder).toBeGreaterThanOrEqual(3);
    else expect(claimed, powder).toBeLessThanOrEqual(1);
    expect(lots).toBe(4);
  }
}, 120_000);

test("odd runs: seldom called without cause, found where one is 8 % coarser: a slice", () => {
  // Exponential scatter makes lone far runs by itself: to be wrong in no more than one lot in twenty costs half of what is found.
  for (const { scatter, runs, lots, falseCalls, found } of oddCases(40)) {
    expect(falseCalls, `${scatter}, ${runs} runs`).toBeLessThanOrEqual(0.14 * lots);
    expect(found, `${scatter}, ${runs} runs`).toBeGreaterThanOrEqual(0.15 * lots);
  }
}, 120_000);

test("odd trials: sound sets are refused in at most one of twenty, whatever the tail: a slice", () => {
  for (const { scatter, trials, sets, falseCalls, found } of oddTrialCases([
    [10, 40],
    [40, 20],
  ])) {
    // Five standard errors of 5 % over so few sets.
    expect(falseCalls / sets, `${scatter}, ${trials} trials`).toBeLessThan(
      0.05 + 5 * Math.sqrt((0.05 * 0.95) / sets),
    );
    expect(found / sets, `${scatter}, ${trials} trials`).toBeGreaterThan(0.4);
  }
}, 120_000);

test("the mill's law covers what it says: a slice of every design and law", () => {
  const cases = 40;
  const short = (share: number) => share - 4 * Math.sqrt((share * (1 - share)) / cases);
  for (const { design, share } of millCoverage(cases)) expect(share, design).toBeGreaterThan(short(0.9));
  for (const of of lawCoverage(cases, [0.02, 0.15]))
    for (const { noise, share } of of.noises)
      expect(share, `${of.law}, ${of.trials} trials, ${of.place}, ${noise}`).toBeGreaterThan(
        short(leastCoverage(of)),
      );
}, 120_000);

test("the chance in band happens no less often than foretold: a slice", () => {
  const campaigns = 100;
  const all = inBandCalibration(campaigns);
  for (const errors of [...new Set(all.map((t) => t.errors))]) {
    const fifths = all.filter((t) => t.errors === errors);
    const known = fifths.filter((t) => t.cases > 0);
    const over = known.reduce((sum, t) => sum + t.cases * (t.foretold - t.happened), 0) / campaigns;
    // Four standard errors of a chance of a half.
    expect(over, errors).toBeLessThan(0.03 + 4 * Math.sqrt(0.25 / campaigns));
  }
}, 120_000);

test("advice is shown only where it beats an even spread: a slice", () => {
  // At the centre the two hardly differ, which so few cases cannot tell.
  // Since the law may bend, an even spread over all speeds serves the edges as well, and mostly no advice is shown there.
  const advised = advice(8).filter((a) => a.target !== "centre");
  expect(advised.find((a) => a.target === "beyond the fast edge")?.shown).toBeGreaterThan(0);
  for (const { target, ratio } of advised) expect(ratio ?? 0, target).toBeLessThan(0.95);
}, 120_000);

test("of histories without an effect few claim one, and strong effects are found: a slice", () => {
  const histories = 40;
  const claimed = nullCases(histories);
  const share = claimed.reduce((sum, c) => sum + c.claimed, 0) / (histories * claimed.length);
  // Five standard errors of 5 % over all histories.
  expect(share).toBeLessThan(0.05 + 5 * Math.sqrt((0.05 * 0.95) / (histories * claimed.length)));
  for (const { found, effect, lots } of powerCases(histories))
    expect(found / histories, `${effect} SD, ${lots} lots`).toBeGreaterThan(0.55);
  for (const { toldAlone } of idleCases(histories)) expect(toldAlone / histories).toBeLessThan(0.2);
}, 120_000);

test("advice for the next lots beats lots at random, and steady histories seldom alarm: a slice", () => {
  const { advised, atRandom } = adviceCase(40);
  expect(advised).toBeLessThan(atRandom);
  for (const { falseAlarms, histories, lots, scatter } of driftCases(20, [12]))
    if (scatter !== "serial")
      expect(falseAlarms, `${lots} lots, ${scatter}`).toBeLessThanOrEqual(0.25 * histories);
}, 120_000);

test("lots through all steps lie where they were foretold: a slice", () => {
  const campaigns = 2;
  const cases = chainCases(campaigns, [8]);
  const held = cases.reduce((sum, c) => sum + c.held, 0) / cases.length;
  // Four standard errors of 85 % over all campaigns.
  expect(held).toBeGreaterThan(0.85 - 4 * Math.sqrt((0.85 * 0.15) / (campaigns * cases.length)));
}, 120_000);

test("errors of a separator's figures cover: a slice", () => {
  const sets = 2;
  for (const { noise, isWeighed, cut } of streamCases(sets))
    expect(cut, `${noise}, ${isWeighed}`).toBeGreaterThan(0.9 - 4 * Math.sqrt((0.9 * 0.1) / sets));
}, 120_000);
