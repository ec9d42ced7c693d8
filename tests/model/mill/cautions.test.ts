import { expect, test } from "vitest";
import { cautionsFor } from "#model/mill/cautions.ts";
import { gasState } from "#model/mill/gas/gas.ts";
import { demoMill } from "./demo.ts";

// What the usual safety literature of the trade says of each gas; common practice, no source.
test.each([
  ["air", null],
  ["nitrogen", /^Nitrogen displaces air: .*suffocates/],
  ["argon", /^Argon displaces air: .*suffocates/],
  ["steam", /^Superheated steam is invisible/],
] as const)("%s: what it can do stands among the cautions, and nothing of the others", (gas, words) => {
  const cautions = cautionsFor({ ...demoMill, gas });
  const ofGas = cautions.filter((said) => /displaces air|team is invisible/.test(said));
  expect(ofGas).toEqual(words === null ? [] : [expect.stringMatching(words)]);
  for (const always of [
    /ratings of vessel and hoses, and release the pressure/,
    /inhaled/,
    /dust explosions/,
  ])
    expect(cautions.filter((said) => always.test(said))).toHaveLength(1);
  expect(cautions.at(-1)).toMatch(/^Local codes, .* take precedence over every number here/);
});

test("without a rated speed none is suggested; with one it is the plate that is to be kept under", () => {
  expect(cautionsFor({ ...demoMill, ratedSpeedRpm: null })[0]).toMatch(/no speed is suggested/);
  expect(cautionsFor(demoMill)[0]).toMatch(/^Stay below the speed on the machine's plate/);
});

test.each([
  ["air", 1.2929],
  ["nitrogen", 1.2504],
  ["argon", 1.7837],
] as const)(
  "%s weighs %s kg/m³ at 0 °C and one atmosphere (handbook values, from memory)",
  (gas, densityKgPerM3) => {
    expect(Math.abs(gasState(gas, 273.15, 101_325).densityKgPerM3 / densityKgPerM3 - 1)).toBeLessThan(0.002);
  },
);
