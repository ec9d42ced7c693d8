import { describe, expect, test } from "vitest";
import { addressOf, hashOfAddress } from "#ui/data/address.ts";
import { unbroken } from "#ui/parts/format.ts";
import { numberOf } from "#ui/parts/numberText.ts";

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
  expect(unbroken("3.36 µm (3.03–3.72)")).toBe("3.36\u00a0µm (3.03–\u20603.72)");
  expect(unbroken("D90 7.64 µm, 1 % of 3 runs")).toBe("D90\u00a07.64\u00a0µm, 1\u00a0% of 3 runs");
});

test.each([
  [
    "#/compare?lot=1&stage=milled&against=fired&against-lot=3&with=2%3Amilled&band=2",
    { lotId: 1, againstLotId: 3, many: "2:milled", bandId: 2 },
  ],
  [
    "#/wheel-plan?lot=1&speed=7200&flow=95.5&feed=12&target=3.2",
    { speedRpm: 7200, flowM3PerH: 95.5, feedKgPerH: 12, targetD50Um: 3.2 },
  ],
  ["#/wheel-plan?target=none", { targetD50Um: "none", flowM3PerH: null }],
])("the address brings back the view: %s", (hash, place) => {
  expect(addressOf(hash)).toMatchObject(place);
  expect(hashOfAddress(addressOf(hash))).toBe(hash);
});

test.each([
  ["#/band?lot=3&stage=milled", "#/lot?lot=3&stage=milled"],
  ["#/card?lot=1", "#/lot?lot=1"],
  ["#/stages?lot=1&against=fired", "#/compare?lot=1&against=fired"],
  ["#/compare?lot=1", "#/compare?lot=1"],
  ["#/wheel?speed=7200&target=none", "#/wheel-plan?speed=7200&target=none"],
  ["#/shelf", "#/bands"],
  ["#/trail", "#/change-history"],
  ["#/gallery", "#/lot"],
  ["", "#/lot"],
])("an earlier link leads on with all it asks: %s", (earlier, now) => {
  expect(hashOfAddress(addressOf(earlier))).toBe(now);
});
