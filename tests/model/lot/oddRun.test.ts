import { describe, expect, test } from "vitest";
import { oddRun } from "#model/lot/oddRun.ts";
import { split } from "../plainPowders.ts";

describe("an odd run", () => {
  // Half of the others at 0.49 and half at 0.51: each lies 100·(0.02·h/(2h − 1)) points from the mean of the rest.
  test.each([
    [5, 5.5],
    [7, 4.4],
    [9, 3.85],
    [11, 3.55],
    [13, 3.4],
    [15, 3.4],
  ])(
    "of %i runs must lie %f times as far out as the others do (docs/science.md, straight between)",
    (runs, factor) => {
      const half = (runs - 1) / 2;
      const others = Array.from({ length: runs - 1 }, (_, i) => split(i < half ? 0.49 : 0.51));
      const theirs = (2 * half) / (2 * half - 1);
      const limit = factor * theirs;
      expect(oddRun([split(0.5 + (limit + 0.02) / 100), ...others])).toEqual({
        index: 0,
        gapPoints: expect.closeTo(limit + 0.02, 9),
        atUm: 2,
        othersPoints: expect.closeTo(theirs, 9),
      });
      expect(oddRun([...others, split(0.5 - (limit + 0.02) / 100)])?.index).toBe(runs - 1);
      expect(oddRun([split(0.5 + (limit - 0.02) / 100), ...others])).toBeNull();
    },
  );
  test("among runs that are all alike must lie over 0.55 points out", () => {
    const others = [0.5, 0.5, 0.5, 0.5].map(split);
    expect(oddRun([...others, split(0.5056)])?.gapPoints).toBeCloseTo(0.56, 9);
    expect(oddRun([...others, split(0.5054)])).toBeNull();
  });
});
