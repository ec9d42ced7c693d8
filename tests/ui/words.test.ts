import { describe, expect, test } from "vitest";
import { unbroken } from "#ui/parts/format.ts";
import { numberOf } from "#ui/parts/numberText.ts";
import { hashOf, placeOf } from "#ui/state/place.ts";

describe("a typed number", () => {
  test.each([
    ["0.86", 0.86],
    ["0,86", 0.86],
    [" 12 ", 12],
    ["−3,5", -3.5],
    ["1e-3", 0.001],
    ["1 234,5", 1234.5],
    [",5", 0.5],
    ["2.", 2],
  ])("%j is %d", (text, value) => {
    expect(numberOf(text)).toEqual({ kind: "number", value });
  });
  test.each(["1,250", "12,345", "1,2,3", "1.234,5", "3 µm", "-", "abc", "1e999"])(
    "%j is refused in words, never read as something else",
    (text) => {
      expect(numberOf(text).kind).toBe("unclear");
    },
  );
  test("nothing typed is empty, not zero", () => {
    expect(numberOf("  ")).toEqual({ kind: "empty" });
  });
});

test("a number stays with its unit, and a list of numbers is left alone", () => {
  expect(unbroken("D90 7.64 µm, 1 % of 3 runs")).toBe("D90\u00a07.64\u00a0µm, 1\u00a0% of 3 runs");
});

test("the address brings back the band and both lots", () => {
  const hash = "#/compare?lot=1&stage=milled&against=fired&against-lot=3&band=2";
  expect(placeOf(hash)).toMatchObject({ lotId: 1, againstLotId: 3, bandId: 2 });
  expect(hashOf(placeOf(hash))).toBe(hash);
});
