import { expect, test } from "vitest";
import { itemAt, neighbours, threeOf, twoOf, zip } from "#distributions/lists.ts";

test("what is missing from a list is a fault, never a number", () => {
  expect(itemAt([4, 5, 6], 0)).toBe(4);
  expect(itemAt([4, 5, 6], -1)).toBe(6);
  expect(itemAt(Float64Array.of(4, 5), -2)).toBe(4);
  expect(() => itemAt([4, 5, 6], 3)).toThrow("nothing at place 3 of 3");
  expect(() => itemAt([], -1)).toThrow(RangeError);
});

test("lists pair only where they are of one length", () => {
  expect(zip([1, 2], ["a", "b"])).toEqual([
    [1, "a"],
    [2, "b"],
  ]);
  expect(() => zip([1, 2], [3])).toThrow("2 and 1 do not pair");
});

test("neighbours are one pair fewer than items", () => {
  expect(neighbours([1, 2, 4])).toEqual([
    [1, 2],
    [2, 4],
  ]);
  expect(neighbours([1])).toEqual([]);
  expect(neighbours([])).toEqual([]);
});

test("coordinates come in their number", () => {
  expect(twoOf([1, 2])).toEqual([1, 2]);
  expect(threeOf([1, 2, 3])).toEqual([1, 2, 3]);
  expect(() => twoOf([1])).toThrow("1 in place of two");
  expect(() => threeOf([1, 2, 3, 4])).toThrow("4 in place of three");
});
