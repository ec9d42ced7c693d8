import { expect, test } from "vitest";
import { readTable } from "#distributions/tables/readTable.ts";

// 1 and 2 µm in each unit, by the definition of the unit.
test.each([
  ["um", "1", "2"],
  ["nm", "1000", "2000"],
  ["mm", "0.001", "0.002"],
  ["m", "0.000001", "0.000002"],
] as const)("sizes in %s", (unit, one, two) => {
  const text = `lower,upper,volume %\n${one},${two},40\n${two},${Number(two) * 2},60\n`;
  const [m] = readTable(text, null, { unit }).measurements;
  expect(m?.distribution.lowerUm[0]).toBeCloseTo(1, 12);
  expect(m?.distribution.upperUm[0]).toBeCloseTo(2, 12);
});

test.each(["all diameters are given in nm", "nm"])("the line %j above the table says the unit", (line) => {
  const [m] = readTable(`${line}\nlower,upper,volume %\n1000,2000,40\n2000,4000,60\n`, null, {}).measurements;
  expect(m?.distribution.upperUm).toEqual([2, 4]);
});

test("an arithmetic mid in phi is the geometric mid of the sizes, since phi is a logarithm", () => {
  const text = "arithmetic mid phi,volume %\n-2,20\n-1,50\n0,30\n";
  const [m] = readTable(text, null, {}).measurements;
  // −2 phi is 4 mm; its class runs half a phi either way.
  expect(m?.distribution.upperUm.at(-1)).toBeCloseTo(4000 * Math.SQRT2, 6);
});

test("shares with a per cent sign and a blank before it are numbers", () => {
  const [m] = readTable("lower um,upper um,volume\n1,2,40 %\n2,4,60 %\n", null, {}).measurements;
  expect(m?.distribution.shares).toEqual([0.4, 0.6]);
});
