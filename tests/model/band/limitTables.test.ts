import { expect, test } from "vitest";
import { bandFromTarget } from "../../../model/band/fromTarget.ts";
import { limitTableOf, wrongInLimits } from "../../fuzz/hostile/limitTables.ts";

const of = { name: "customer", stage: "", densityGPerCm3: null };
const tables = process.env["FINEBAND_HARD"] === "whole" ? 6000 : 600;

test(`${tables} tables and lines of limits under any words, units and marks: none misread, none left out without a word`, () => {
  const read = Array.from({ length: tables }, (_, seed) => limitTableOf(seed)).map((table) => ({
    table,
    read: bandFromTarget(table.text, of),
  }));
  const wrong = read.flatMap(({ table, read: { band, problems, open } }) => {
    const what = wrongInLimits(table, { band, problems, open });
    return what === null ? [] : [`${table.seed}: ${what}`];
  });
  expect(wrong).toEqual([]);
  // What is refused can be read two ways: three figures behind a comma, two numbers without a word.
  const needless = read.flatMap(({ table: { limits }, read: { problems } }) =>
    problems
      .filter(({ message }) => limits.length > 0 && !/ can be |several numbers/.test(message))
      .map(({ message }) => message),
  );
  expect(needless).toEqual([]);
});

test.each([
  ["D50, 2.9 - 3.3", [["d50Um", 2.9, 3.3]]],
  [
    "limit,min,max\nD50,2.9,3.3\nD90,5,6",
    [
      ["d50Um", 2.9, 3.3],
      ["d90Um", 5, 6],
    ],
  ],
  ["Größe;Soll;Toleranz\nD50;3,1;0,2", [["d50Um", 2.9, 3.3]]],
  ["Größe;Soll;Toleranz (%)\nD50;3,1;10", [["d50Um", 2.79, 3.41]]],
  ["D50 3.1 +0.3 -0.2 µm", [["d50Um", 2.9, 3.4]]],
  [
    "D50, ≥ 2,71\nD90, ≤ 6,22",
    [
      ["d50Um", 2.71, null],
      ["d90Um", null, 6.22],
    ],
  ],
])("%s", (text, rows) => {
  expect(bandFromTarget(text, of).band?.rows.map(({ limit, low, high }) => [limit, low, high])).toEqual(rows);
});

test.each([
  ["D10 >= 1.2 µm, D90 <= 6 µm", /more than one limit/],
  ["D50 1.2 µm - 1800 nm", /mixes units/],
  ["D50 12 - 14 mil", /in mil, which is not known/],
  ["D50 1,200 - 1,900 nm", /can be 1\.200 or 1200/],
  ["D50 2.9 3.3", /several numbers/],
])("%s is refused with what it lacks", (text, why) => {
  const { band, problems } = bandFromTarget(text, of);
  expect(band).toBeNull();
  expect(problems[0]?.message).toMatch(why);
});

test("BET limits in other units are converted", () => {
  expect(bandFromTarget("BET 8000 - 12000 cm²/g", of).band?.betM2PerG).toEqual({ low: 0.8, high: 1.2 });
});
