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
