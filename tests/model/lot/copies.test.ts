import { describe, expect, test } from "vitest";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { describeAnswer } from "#model/answers/lot/describeAnswer.ts";
import { copiesAmong } from "#model/lot/copies.ts";
import { split } from "../plainPowders.ts";

describe("copies", () => {
  test("are the same to 1e-9", () => {
    expect(copiesAmong([split(0.5), split(0.6), split(0.5 + 5e-10)]).identical).toEqual([[0, 2]]);
    expect(copiesAmong([split(0.5), split(0.6), split(0.5 + 2e-9)]).identical).toEqual([]);
    expect(copiesAmong([split(0.5), split(0.5)])).toEqual({ identical: [[0, 1]], meansOfOthers: [] });
  });
  test("a mean of the others lies within 1e-4 of it, and ten times as near as the others to theirs", () => {
    // With an average among three, the outer two lie 1.5·0.1 from the mean of their others.
    const among = (middle: number, apart: number) =>
      copiesAmong([split(0.5 - apart), split(middle), split(0.5 + apart)]).meansOfOthers;
    expect(among(0.5 + 9e-5, 0.1)).toEqual([1]);
    expect(among(0.5 + 1.1e-4, 0.1)).toEqual([]);
    expect(among(0.5 + 4e-5, 3e-4)).toEqual([1]);
    expect(among(0.5 + 5e-5, 3e-4)).toEqual([]);
  });
});

test("copies narrow no interval: describe counts them once, whatever their place (found by simulation)", () => {
  const run = (name: string, shift: number) => ({
    file: null,
    name,
    distribution: sizeDistribution({
      quantity: "volume",
      lowerUm: [1, 2, 4],
      upperUm: [2, 4, 8],
      shares: [0.3 + shift, 0.5, 0.2 - shift],
    }),
  });
  const runs = [run("a", 0), run("b", 0.01), run("c", 0.03)];
  const over = (given: typeof runs) => describeAnswer(given, { lotsBy: "all" }).lots[0]?.percentilesUm["50"];
  const own = over(runs);
  expect(over([run("x", 0), ...runs, run("y", 0.03)])).toEqual(own);
  const alike = over([run("a", 0), run("b", 0), run("c", 0)]);
  expect(alike).toMatchObject({ runs: 1, low: null, high: null, basis: null });
});
