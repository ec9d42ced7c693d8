import { expect, test } from "vitest";
import { costAnswer } from "#model/answers/mill/costAnswer.ts";
import { smallMill as mill } from "../mill/smallMill.ts";

// Every expected value is worked by hand from the definitions in docs/science.md.
const trial = (feedKgPerH: number | null, productKgPerH: number | null) => ({
  speedRpm: 6000,
  gasFlowM3PerH: 100,
  feedKgPerH,
  productKgPerH,
  d10Um: 1,
  d50Um: 3,
  d90Um: 6,
});
const size = (median: number, low: number, high: number) => ({ median, low, high, level: 0.9 });
const asked = { flowM3PerH: 100, feedKgPerH: 10, d10Um: null, d50Um: null };
const weighed = [trial(10, 8), trial(10, 9), trial(10, 8.5)];

test("product, gas and losses of a yield that three trials weighed", () => {
  const found = costAnswer(mill, weighed, asked);
  // ln 0.8, 0.9, 0.85: mean −0.163674, sd 0.058900; t of two degrees at 95 % is 2.91999 (tables).
  const reach = 2.919986 * 0.0589 * Math.sqrt(4 / 3);
  const middle = Math.exp((Math.log(0.8) + Math.log(0.9) + Math.log(0.85)) / 3);
  expect(found.productKgPerH?.median).toBeCloseTo(10 * middle, 9);
  expect(found.productKgPerH?.low).toBeCloseTo(10 * middle * Math.exp(-reach), 3);
  // More than was fed does not come out.
  expect(found.productKgPerH?.high).toBe(10);
  expect(found.lostKgPerH?.median).toBeCloseTo(10 - 10 * middle, 9);
  expect(found.lostKgPerH?.low).toBe(0);
  expect(found.gasM3PerKg?.median).toBeCloseTo(10 / middle, 9);
  expect(found.gasM3PerKg?.low).toBe(10);
  expect(found.gasM3PerKg?.high).toBeCloseTo((10 / middle) * Math.exp(reach), 3);
  expect(found).toMatchObject({ energyKWhPerKg: null, finesShare: null, pricePerKg: null });
  expect(found.sentence).toBe(
    "Product 8.49 kg/h (6.96–10.0), 90 % ranges: yield 84.9 % (69.6–100), three trials weighed; 1.51 kg/h (0–3.04) is lost. A kilogram takes 11.8 m³ (10.0–14.4) of gas at the wheel, and the work of the jets is not known without the pressure before the nozzles.",
  );
});

test("prices of any currency: what they are of is said, and what is priced and not known", () => {
  const prices = { gasPerM3: 0.5, feedPerKg: 40, perHour: 65, currency: "CHF" };
  const one = costAnswer(mill, [trial(10, 8)], { ...asked, ...prices, energyPerKWh: 0.2 });
  // (100·0.5 + 10·40 + 65)/8.
  expect(one.pricePerKg).toEqual({ median: expect.closeTo(515 / 8, 9), low: null, high: null });
  expect(one.sentence).toMatch(
    /Gas, feed and the mill's hours cost 64\.4 CHF per kg \(no range yet\)\. Without the jets' work, which is not known\.$/,
  );
  const jets = { ...mill, nozzlePressurePa: 700_000 };
  const work = costAnswer(jets, [trial(10, 8)], { ...asked, energyPerKWh: 0.2 });
  expect(work.pricePerKg?.median).toBeCloseTo(0.2 * (work.energyKWhPerKg?.median ?? 0), 12);
});

test("fines below a size from D10 and D50, the most where both are finest", () => {
  const sizes = { d10Um: size(1, 0.9, 1.1), d50Um: size(3, 2.8, 3.2) };
  const at = (finesBelowUm: number) => costAnswer(mill, [], { ...asked, ...sizes, finesBelowUm });
  // At D10 it is a tenth by definition, at D50 a half.
  expect(at(1).finesShare?.median).toBeCloseTo(0.1, 9);
  expect(at(3).finesShare?.median).toBeCloseTo(0.5, 9);
  const { low, high } = at(1).finesShare ?? { low: null, high: null };
  expect(low).toBeLessThan(0.1);
  expect(high).toBeGreaterThan(0.1);
  expect(at(1).sentence).toMatch(
    /^The product per hour, and what a kilogram takes, is not known: no trial notes both product and feed\. 10\.0 % \(\S+\) of the milled product is finer than 1\.00 µm\.$/,
  );
  expect(costAnswer(mill, weighed, { ...asked, feedKgPerH: null }).sentence).toMatch(/no feed is given/);
});
