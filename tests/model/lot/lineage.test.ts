import { describe, expect, test } from "vitest";
import { originWords } from "#model/answers/lot/originWords.ts";
import { families, inheritedStages, type Parent, parentsOf } from "#model/lot/lineage.ts";

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

describe("inherited stages", () => {
  const order = ["fired", "crushed", "milled", "re-fired"];
  const lotOf = (id: number, parents: readonly Parent[], stages: readonly string[]) => ({
    id,
    parents,
    stages: stages.map((stage) => ({ stage })),
  });
  const knownOf = (...lots: readonly ReturnType<typeof lotOf>[]) => new Map(lots.map((lot) => [lot.id, lot]));

  test("those of the parent up to the one powder was taken at, after what the parent inherited", () => {
    const first = lotOf(1, [], ["fired", "crushed", "milled"]);
    const second = lotOf(2, [{ lotId: 1, stage: "crushed", share: 1, massG: null }], ["milled", "re-fired"]);
    const third = lotOf(3, [{ lotId: 2, stage: "milled", share: 1, massG: null }], ["re-fired"]);
    expect(inheritedStages(third, knownOf(first, second, third), order)).toEqual([
      { lotId: 1, stage: "fired" },
      { lotId: 1, stage: "crushed" },
      { lotId: 2, stage: "milled" },
    ]);
  });

  test("a blend inherits none, a parent that is not known ends it, a circle ends", () => {
    const blend = lotOf(3, [from(1, 0.5), from(2, 0.5)], []);
    expect(inheritedStages(blend, knownOf(blend, lotOf(1, [], ["milled"])), order)).toEqual([]);
    expect(inheritedStages(lotOf(4, [from(9)], []), knownOf(), order)).toEqual([]);
    const a = lotOf(1, [from(2)], ["milled"]);
    const b = lotOf(2, [from(1)], ["milled"]);
    expect(inheritedStages(a, knownOf(a, b), order)).toEqual([{ lotId: 2, stage: "milled" }]);
  });
});

test.each([
  [[], ""],
  [[{ ...from(1), massG: 8500 }], "Split from Garnet 1, milled (8.50 kg)."],
  [[{ ...from(1), isReworked: true }], "Reworked from Garnet 1, milled."],
  [
    [
      { ...from(1, 0.3), massG: 300 },
      { ...from(2, 0.7), massG: null },
    ],
    "Blended from 30.0 % Garnet 1, milled (300 g) and 70.0 % Garnet 2, milled.",
  ],
])("where powder came from is said in a sentence", (parents, sentence) => {
  const named = parents.map((parent) => ({ isReworked: false, ...parent, name: `Garnet ${parent.lotId}` }));
  expect(originWords(named)).toBe(sentence);
});
