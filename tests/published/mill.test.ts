import { describe, expect, test } from "vitest";
import type { Mill } from "#model/mill/mill.ts";
import { posteriorOf, predict, predictionQuantile } from "#model/mill/trials/posterior.ts";
import { wheelCut } from "#model/mill/wheel/cut.ts";
import { type GasName, gasState, slipCorrection } from "#model/mill/wheel/gas.ts";

const mill: Mill = {
  wheelRadiusM: 0.05,
  wheelHeightM: 0.05,
  freeAreaShare: 0.7,
  swirlRatio: 1,
  ratedSpeedRpm: null,
  gas: "air",
  temperatureC: 20,
  pressurePa: 101325,
  gasFlowM3PerH: 100,
  particleDensityGPerCm3: 4.7,
};

describe("gas and wheel against values computed independently for this project", () => {
  test("air at 20 °C and 101,325 Pa", () => {
    const air = gasState("air", 293.15, 101325);
    expect(air.viscosityPaS / 1.813322e-5).toBeCloseTo(1, 4);
    expect(air.densityKgPerM3 / 1.204097).toBeCloseTo(1, 6);
    expect((air.meanFreePathM * 1e9) / 65.0648).toBeCloseTo(1, 4);
  });

  test.each([
    [0.1, 2.888708],
    [0.5, 1.333485],
    [1, 1.165937],
    [2, 1.082962],
    [10, 1.016592],
  ])("slip at %f µm and a mean free path of 66 nm", (sizeUm, cc) => {
    expect(Math.abs(slipCorrection(sizeUm * 1e-6, 66e-9) - cc)).toBeLessThan(1e-6);
  });

  test.each([
    [1000, 17.88985, 20.72848],
    [2000, 8.94492, 9.75987],
    [4000, 4.47246, 4.66642],
    [8000, 2.23623, 2.23992],
    [12000, 1.49082, 1.45302],
    [20000, 0.89449, 0.83355],
  ])("cut sizes at %i rpm (root finder of a general-purpose library agrees)", (rpm, stokes, full) => {
    const cut = wheelCut(mill, rpm, 100);
    expect(Math.abs(cut.stokesCutUm / stokes - 1)).toBeLessThan(1e-4);
    expect(Math.abs(cut.cutUm / full - 1)).toBeLessThan(1e-4);
  });
});

describe("gas viscosity against the CRC Handbook table (Huber & Harvey), µPa s", () => {
  const rows: [GasName, number, number][] = [
    ["air", 200, 13.3],
    ["air", 300, 18.5],
    ["air", 400, 23.1],
    ["air", 600, 30.8],
    ["nitrogen", 200, 12.9],
    ["nitrogen", 300, 17.9],
    ["nitrogen", 400, 22.2],
    ["nitrogen", 600, 29.6],
    ["argon", 200, 15.9],
    ["argon", 300, 22.7],
    ["argon", 400, 28.6],
    ["argon", 600, 38.8],
  ];
  test.each(rows)("%s at %i K within 3 %%, the table's own uncertainty", (gas, temperatureK, eta) => {
    expect(Math.abs((gasState(gas, temperatureK, 101325).viscosityPaS * 1e6) / eta - 1)).toBeLessThan(0.03);
  });
});

describe("slip against Seinfeld & Pandis (2006) table 9.3, air at 298 K and 1 atm", () => {
  test.each([
    [0.01, 22.2],
    [0.1, 2.85],
    [0.5, 1.326],
    [1, 1.164],
    [2, 1.082],
    [5, 1.032],
    [10, 1.016],
  ])("%f µm within 0.5 %%", (sizeUm, cc) => {
    expect(Math.abs(slipCorrection(sizeUm * 1e-6, 65.1e-9) / cc - 1)).toBeLessThan(0.005);
  });
});

describe("the exact posterior of D50 against independent quadratures", () => {
  test("a flat prior gives the classical regression and its Student-t interval", () => {
    const rows = [4, 6, 8, 10].map((n) => [1, Math.log(n)]);
    const flat = posteriorOf(
      rows,
      [2.3, 1.92, 1.6, 1.41],
      [
        { mean: 0, sd: null },
        { mean: 0, sd: null },
      ],
      "flat",
    );
    const slope = flat.components.reduce((sum, c) => sum + c.weight * (c.mean[1] ?? 0), 0);
    expect(Math.abs(slope - -0.984991)).toBeLessThan(1e-4);
    const at9 = predict(flat, [1, Math.log(9)]);
    expect(Math.abs(predictionQuantile(at9, 0.025) - 1.40276)).toBeLessThan(2e-3);
    expect(Math.abs(predictionQuantile(at9, 0.975) - 1.60705)).toBeLessThan(2e-3);
  });

  test("an informative prior gives the quantiles of two independent quadratures", () => {
    const rows = [4, 6, 8].map((n) => [1, Math.log(n / 6)]);
    const posterior = posteriorOf(
      rows,
      [1.42, 1.03, 0.75],
      [
        { mean: 0.9, sd: 0.7 },
        { mean: -1, sd: 0.3 },
      ],
      { degrees: 4, scale: 0.05 },
    );
    const at10 = predict(posterior, [1, Math.log(10 / 6)]);
    expect(Math.abs(predictionQuantile(at10, 0.05) - 0.39567)).toBeLessThan(2e-4);
    expect(Math.abs(predictionQuantile(at10, 0.5) - 0.53309)).toBeLessThan(2e-4);
    expect(Math.abs(predictionQuantile(at10, 0.95) - 0.66817)).toBeLessThan(2e-4);
  });
});
