import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type GroundLot, groundOf, groundSentence, maxGroundLots } from "#model/lot/ground.ts";

const plain: Omit<GroundLot, "id"> = {
  name: "lot",
  materialId: 1,
  madeOn: null,
  measuredOn: null,
  savedAt: "2026-01-01T00:00:00Z",
  exclusionReason: null,
  parents: [],
  stages: [{ stage: "milled", instrument: "A" }],
};
const lotOf = (id: number, more: Partial<GroundLot> = {}): GroundLot => ({ ...plain, id, ...more });
const ids = (lots: readonly GroundLot[]) => lots.map((lot) => lot.id);

const day = fc.option(
  fc.integer({ min: 1, max: 28 }).map((d) => `2026-02-${String(d).padStart(2, "0")}`),
  { nil: null },
);
const anyLot = fc.record({
  madeOn: day,
  measuredOn: day,
  isExcluded: fc.boolean(),
  stage: fc.constantFrom("milled", "re-fired", "fired"),
  instrument: fc.constantFrom("A", "B", null),
});
const labOf = (materialId: number, firstId: number) =>
  fc.array(anyLot, { maxLength: 80 }).map((lots) =>
    lots.map(({ madeOn, measuredOn, isExcluded, stage, instrument }, i) =>
      lotOf(firstId + 2 * i, {
        materialId,
        madeOn,
        measuredOn,
        exclusionReason: isExcluded ? "spilt" : null,
        stages: [{ stage, instrument }],
      }),
    ),
  );

describe("whose lots teach", () => {
  test("law: two labs side by side answer as each alone", () => {
    fc.assert(
      fc.property(
        labOf(1, 1),
        labOf(2, 2),
        fc.constantFrom("milled", "re-fired", undefined),
        (one, other, stage) => {
          const mixed = [...one, ...other].toSorted((a, b) => a.id - b.id);
          for (const [materialId, alone] of [
            [1, one],
            [2, other],
          ] as const) {
            const question = { materialId, ...(stage === undefined ? {} : { stage }) };
            expect(groundOf(mixed, question)).toEqual(groundOf(alone, question));
          }
        },
      ),
    );
  });

  test("law: every lot of the material teaches or says why not", () => {
    fc.assert(
      fc.property(labOf(1, 1), (lots) => {
        const { lots: teaching, leftOut } = groundOf(lots, {
          materialId: 1,
          stage: "milled",
          instrument: "A",
        });
        expect([...ids(teaching), ...leftOut.map((each) => each.lotId)].toSorted((a, b) => a - b)).toEqual(
          ids(lots),
        );
      }),
    );
  });

  test("the newest by the day made, else measured, else saved; never what was saved first", () => {
    const lots = [
      lotOf(1, { savedAt: "2026-03-05T08:00:00Z" }),
      lotOf(2, { madeOn: "2026-03-09" }),
      lotOf(3, { measuredOn: "2026-03-07" }),
      lotOf(4, { madeOn: "2026-03-01", measuredOn: "2026-03-20" }),
    ];
    expect(ids(groundOf(lots, { materialId: 1 }).lots)).toEqual([2, 3, 1, 4]);
  });

  test("of more than sixty the older ones are left out, and it says so", () => {
    const lots = Array.from({ length: 70 }, (_, i) =>
      lotOf(i + 1, {
        madeOn: `2026-${String(1 + Math.floor(i / 28)).padStart(2, "0")}-${String(1 + (i % 28)).padStart(2, "0")}`,
      }),
    );
    const { lots: teaching, leftOut } = groundOf(lots, { materialId: 1 });
    expect(teaching.length).toBe(maxGroundLots);
    expect(leftOut.map((each) => each.lotId).toSorted((a, b) => a - b)).toEqual([
      1, 2, 3, 4, 5, 6, 7, 8, 9, 10,
    ]);
  });

  test("a lot teaches nothing about itself, and nothing while it is excluded", () => {
    const lots = [lotOf(1), lotOf(2, { exclusionReason: "crucible broke" }), lotOf(3)];
    const { lots: teaching, leftOut } = groundOf(lots, { materialId: 1, exceptLotId: 3 });
    expect(ids(teaching)).toEqual([1]);
    expect(leftOut).toEqual([{ lotId: 2, why: "excluded: crucible broke" }]);
  });

  test("children of one parent count as one lot", () => {
    const parents = [{ lotId: 1, stage: "crushed", share: 1, massG: null }];
    const ground = groundOf([lotOf(1), lotOf(2, { parents }), lotOf(3, { parents }), lotOf(4)], {
      materialId: 1,
    });
    expect(ground.independent).toBe(2);
    expect(groundSentence(ground, { material: "garnet", mills: ["mill A"] })).toBe(
      "four lots of garnet, on mill A, measured with A (2 independent)",
    );
  });
});
