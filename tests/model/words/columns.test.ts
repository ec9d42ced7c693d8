import { expect, test } from "vitest";
import { alignedFigures, shortNames } from "#model/words/columns.ts";

test("names lose what all begin with, but a number is not cut in two", () => {
  expect(shortNames(["Garnet host, lot 07", "Garnet host, lot 08"])).toEqual(["07", "08"]);
  expect(shortNames(["L100", "L101", "L112"])).toEqual(["100", "101", "112"]);
  expect(shortNames(["one"])).toEqual(["one"]);
  expect(shortNames(["lot", "lot 2"])).toEqual(["lot", "2"]);
});

test("decimal marks stand under each other once the numbers end on one line", () => {
  const texts = alignedFigures([1.86, 10.2, 123, null], (v) => String(v));
  expect(texts).toEqual(["1.86", "10.2\u2007", "123\u2008\u2007\u2007", "–"]);
});
