import { describe, expect, test } from "vitest";
import { families, type Parent, parentsOf } from "#model/lot/lineage.ts";

const from = (lotId: number, share = 1): Parent => ({ lotId, stage: "milled", share, massG: null });

describe("parents", () => {
  test("a split has one parent, a blend several whose shares add to 1", () => {
    expect(parentsOf({ id: 3, parents: [from(1)] }, [])).toEqual([from(1)]);
    expect(parentsOf({ id: 3, parents: [from(1, 0.3), from(2, 0.7)] }, []).length).toBe(2);
  });

  test("a lot is not its own parent, nor its own ancestor", () => {
    expect(() => parentsOf({ id: 3, parents: [from(3)] }, [])).toThrow(/lot itself/);
    const lots = [
      { id: 1, parents: [from(2)] },
      { id: 2, parents: [from(3)] },
    ];
    expect(() => parentsOf({ id: 3, parents: [from(1)] }, lots)).toThrow(/come from the lot itself/);
  });

  test.each([
    [[from(1, 0.7), from(2, 0.7)], /add to 1/],
    [[from(1, 1.2)], /at most 1/],
    [[from(1, 0), from(2, 1)], /above 0/],
    [[from(1, 0.5)], /add to 1/],
  ])("shares that cannot be are refused", (parents, why) => {
    expect(() => parentsOf({ id: 3, parents }, [])).toThrow(why);
  });
});

test("a circle that stands in damaged data ends", () => {
  const lots = [
    { id: 1, parents: [from(2)] },
    { id: 2, parents: [from(1)] },
  ];
  expect(families(lots).flat().length).toBe(2);
});

test("splits of splits are one family, a blend is its own", () => {
  const lots = [
    { id: 1, parents: [] },
    { id: 2, parents: [from(1)] },
    { id: 3, parents: [from(2)] },
    { id: 4, parents: [from(1, 0.5), from(3, 0.5)] },
  ];
  expect(families(lots).map((group) => group.map((lot) => lot.id))).toEqual([[1, 2, 3], [4]]);
});
