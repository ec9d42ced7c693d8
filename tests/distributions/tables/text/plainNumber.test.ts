import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { numberIn, saysNothing, shareIn } from "#distributions/tables/text/numbers.ts";
import { plainNumber } from "#distributions/tables/text/plainNumber.ts";
import { hostileOf } from "../../../fuzz/hostile/hostile.ts";
import { mutantOf } from "../../../fuzz/mutants.ts";
import { layoutOf } from "../layouts.ts";

const marks = [".", ","] as const;

/** What a reading asks of a cell, by the quick path and by the other: both the same, to the last bit. @returns how many were plain */
function held(cell: string): number {
  let plain = 0;
  for (const mark of marks) {
    const quick = plainNumber(cell, mark);
    if (Number.isNaN(quick)) continue;
    plain++;
    if (
      !Object.is(quick, numberIn(cell, mark)) ||
      !Object.is(quick, shareIn(cell, mark)) ||
      saysNothing(cell)
    )
      throw new Error(`"${cell}" with ${mark}: ${quick}, else ${numberIn(cell, mark)}`);
  }
  return plain;
}

/** Everything that stands between two signs that could part fields, whichever they are. */
function cellsOf(table: string | Uint8Array): string[] {
  const text = typeof table === "string" ? table : new TextDecoder().decode(table);
  const cells = new Set<string>();
  for (const line of text.split(/\r?\n/))
    for (const parting of [",", ";", "\t", "|", " "])
      for (const cell of line.split(parting)) cells.add(cell.trim());
  return [...cells];
}

describe("the quick path of numbers gives what the path of any cell gives, in every cell of the fuzz corpus", () => {
  test.each([
    ["hostile tables", 120, (seed: number) => hostileOf(seed).table],
    ["damaged tables", 400, (seed: number) => mutantOf(seed).bytes],
    ["layouts of known powders", 120, (seed: number) => layoutOf(seed).text],
  ] as const)("%s", (_, count, tableOf) => {
    let plain = 0;
    for (let seed = 1; seed <= count; seed++) for (const cell of cellsOf(tableOf(seed))) plain += held(cell);
    expect(plain).toBeGreaterThan(10 * count);
  });
});

describe("and in whatever else is written", () => {
  test("texts of digits, marks and signs", () => {
    const sign = fc.constantFrom(..."0123456789", ".", ",", "-", "e", " ", "%");
    fc.assert(
      fc.property(fc.string({ unit: sign, maxLength: 20 }), (cell) => {
        held(cell);
      }),
      { numRuns: 2000, seed: 20261130 },
    );
  });
  test("any number as JavaScript prints it, and to a few decimals", () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 1e9, noNaN: true }), fc.nat({ max: 12 }), (value, decimals) => {
        held(String(value));
        held(value.toFixed(decimals));
      }),
      { numRuns: 2000, seed: 20261130 },
    );
  });
  test("what is more than figures and one mark is left to the other path", () => {
    for (const cell of ["", ".", ",", "-1", "+1", "1e3", "1 000", "1.2.3", "0.1234567890123456", "٣", "12%"])
      for (const mark of marks) expect(plainNumber(cell, mark)).toBeNaN();
    expect(plainNumber("1,5", ".")).toBeNaN();
    expect(plainNumber("1.5", ",")).toBeNaN();
    expect([plainNumber(".5", "."), plainNumber("5,", ","), plainNumber("007", ".")]).toEqual([0.5, 5, 7]);
  });
});
