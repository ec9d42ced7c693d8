import { expect, test } from "vitest";
import { readTable } from "#distributions/tables/readTable.ts";

test.each([",", ";", "\t", "|", " ", "   "])(
  "a million columns parted by %j are refused by their number",
  (sign) => {
    const text = `${Array.from({ length: 1_000_000 }, (_, i) => String(i)).join(sign)}\n`;
    const { measurements, problems } = readTable(text, null, {});
    expect(measurements).toEqual([]);
    expect(problems.map((p) => p.message)).toEqual([
      expect.stringMatching(/^The table has 1000000 columns, more than is read at once/),
    ]);
  },
);

test("7,000 columns that are set apart by three blanks each are not too many", () => {
  const row = (of: (i: number) => number) => Array.from({ length: 7000 }, (_, i) => of(i)).join("   ");
  const { problems } = readTable(`${row((i) => i + 1)}\n${row(() => 1)}\n`, null, {});
  expect(problems.map((p) => p.message).join()).not.toMatch(/more than is read at once/);
});

test("blanks in the names of 10,000 columns do not make them too many", () => {
  const line = (of: (i: number) => string) => Array.from({ length: 10_000 }, (_, i) => of(i)).join(",");
  const text = `upper edge um,${line((i) => `s${i} by volume %`)}\n1,${line(() => "40")}\n2,${line(() => "60")}\n`;
  expect(
    readTable(text, null, {})
      .problems.map((p) => p.message)
      .join(),
  ).not.toMatch(/more than is read at once/);
});

// Looked at anew from every digit on, it would take minutes.
test("200,000 digits with a letter behind them are no number, and are looked at once", () => {
  const text = `upper_um percent\n1 40\n2 ${"1".repeat(200_000)}x\n3 60\n`;
  const { problems } = readTable(text, null, {});
  expect(problems.length).toBeGreaterThan(0);
});

test("200,000 blanks between two cells' ends are passed over once", () => {
  const text = `size um,A cumulative volume %,size um,B cumulative volume %\n1,20,1,0${" ".repeat(200_000)}x\n2,50,2,50\n3,100,3,100\n`;
  const { problems } = readTable(text, null, {});
  expect(problems.length).toBeGreaterThan(0);
});
