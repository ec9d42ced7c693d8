import { expect, test } from "vitest";
import { readTable } from "#distributions/tables/readTable.ts";

const table = "lower_um,upper_um,volume %\n1,2,40\n2,4,50\n4,8,10\n";

test("an option that says other than the heading counts, and a note says so", () => {
  const { measurements, problems } = readTable(table, "x.csv", { quantity: "number" });
  expect(measurements[0]?.distribution.quantity).toBe("number");
  expect(problems).toMatchObject([
    { severity: "note", found: "volume", expected: "number", measurement: "volume %" },
  ]);
  expect(problems[0]?.message).toMatch(/The table says quantity volume .* but number is taken, as you said/);
});

test.each([{}, { quantity: "volume" as const }])("%j agrees with the heading and says nothing", (options) => {
  expect(readTable(table, "x.csv", options).problems).toEqual([]);
});
