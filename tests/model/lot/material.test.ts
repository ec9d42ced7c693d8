import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { bandIdFor, isSameMaterial, ofMaterial, pairsFor } from "#model/lot/material.ts";

const garnet = "yttrium aluminium garnet";
const ceria = "ceria";

test("a material is known by its name, case, blanks and hyphens aside", () => {
  expect(isSameMaterial("Yttrium  aluminium-garnet ", garnet)).toBe(true);
  expect(isSameMaterial("ceria", "ceria, doped")).toBe(false);
});

const lot = fc.record({ bandId: fc.option(fc.integer({ min: 1, max: 4 }), { nil: null }) });
const labOf = (material: string, firstId: number) =>
  fc
    .array(lot, { minLength: 1, maxLength: 6 })
    .map((lots) => lots.map(({ bandId }, i) => ({ id: firstId + 2 * i, material, bandId })));
const pairsOf = (material: string) =>
  fc
    .array(fc.integer({ min: 1, max: 9 }), { maxLength: 5 })
    .map((areas) => areas.map((betM2PerG) => ({ material, betM2PerG })));

describe("law: what a lab knows of one material is the same beside another", () => {
  test("its lots and its pairs", () => {
    fc.assert(
      fc.property(labOf(garnet, 1), labOf(ceria, 2), pairsOf(garnet), pairsOf(ceria), (a, b, own, other) => {
        const mixed = [...a, ...b].toSorted((x, y) => x.id - y.id);
        expect(ofMaterial(mixed, garnet)).toEqual(a);
        expect(pairsFor([...other, ...own], garnet, [garnet, ceria])).toEqual(
          pairsFor(own, garnet, [garnet]),
        );
      }),
    );
  });

  test("a lot never gets the band of another material", () => {
    fc.assert(
      fc.property(labOf(garnet, 1), labOf(ceria, 2), (a, b) => {
        const bandIds = [1, 2, 3, 4];
        for (const one of a) {
          const id = bandIdFor(one, [...b, ...a], bandIds);
          const given = a.flatMap(({ bandId }) => bandId ?? []);
          if (id === null) expect(given).toEqual([]);
          else expect(given).toContain(id);
        }
      }),
    );
  });
});

describe("what was typed before materials were kept apart", () => {
  test("a pair without a material counts in a lab of one, and in none of two", () => {
    const pairs: readonly { material?: string; betM2PerG: number }[] = [{ betM2PerG: 1 }];
    expect(pairsFor(pairs, garnet, [garnet, garnet])).toEqual(pairs);
    expect(pairsFor(pairs, garnet, [garnet, ceria])).toEqual([]);
  });

  test("lots without a band: the first one in a lab of one material, none in a lab of two", () => {
    const own = { id: 1, material: garnet, bandId: null };
    expect(bandIdFor(own, [own], [7, 8])).toBe(7);
    expect(bandIdFor(own, [own, { id: 2, material: ceria, bandId: null }], [7, 8])).toBeNull();
  });

  test("its own band comes first, then the one given last to a lot of the material; a deleted one counts for nothing", () => {
    const lots = [
      { id: 1, material: garnet, bandId: 7 },
      { id: 2, material: garnet, bandId: 8 },
      { id: 3, material: garnet, bandId: 9 },
    ];
    expect(bandIdFor({ id: 4, material: garnet, bandId: 7 }, lots, [7, 8])).toBe(7);
    expect(bandIdFor({ id: 4, material: garnet, bandId: null }, lots, [7, 8])).toBe(8);
  });
});
