import { expect, test } from "vitest";
import { cautionsFor } from "#model/mill/cautions.ts";
import { demoMill } from "./demo.ts";

// What the usual safety literature of the trade says of each gas; common practice, no source.
test.each([
  ["air", null],
  ["nitrogen", /^Nitrogen displaces air: .*suffocates/],
  ["argon", /^Argon displaces air: .*suffocates/],
  ["steam", /^Superheated steam burns/],
] as const)("%s: what it can do stands among the cautions, and nothing of the others", (gas, words) => {
  const cautions = cautionsFor({ ...demoMill, gas });
  const ofGas = cautions.filter((said) => /displaces air|team burns/.test(said));
  expect(ofGas).toEqual(words === null ? [] : [expect.stringMatching(words)]);
  for (const always of [/ratings, and release pressure/, /breathed in/, /explode as dust/])
    expect(cautions.filter((said) => always.test(said))).toHaveLength(1);
  expect(cautions.at(-1)).toMatch(/^Local codes, .* come before any number here/);
});

test("without a rated speed none is suggested; with one it is the plate that is to be kept under", () => {
  expect(cautionsFor({ ...demoMill, ratedSpeedRpm: null })[0]).toMatch(/no speed is suggested/);
  expect(cautionsFor(demoMill)[0]).toMatch(/^Stay under the speed on the machine's plate/);
});
