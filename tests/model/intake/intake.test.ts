import { describe, expect, test } from "vitest";
import { type KnownLab, knownLab, placeOf, type RunSaid, saidByNames } from "#model/intake/intake.ts";
import {
  learnedPattern,
  type NamePattern,
  partsByPattern,
  patternExpression,
} from "#model/intake/namePattern.ts";
import { usualSteps } from "#model/lot/processSteps.ts";

// How laboratories call their files: common practice, no source. Both materials are invented.

const lots = [
  { id: 1, name: "Garnet host, lot 07", material: "Garnet host" },
  { id: 2, name: "Garnet host, lot 12", material: "Garnet host" },
  { id: 3, name: "Fluorite host, lot 12", material: "Fluorite host" },
  { id: 4, name: "A7", material: "Fluorite host" },
];
const lab: KnownLab = knownLab(
  [
    { name: "Garnet host", steps: usualSteps },
    {
      name: "Fluorite host",
      steps: [...usualSteps.slice(0, 3), { id: "milled", name: "opposed-jet pass", kind: "milled" }],
    },
  ],
  lots,
);
const place = (file: string, name = "run 1", said: RunSaid = {}, pattern: NamePattern | null = null) =>
  placeOf(saidByNames({ file, name }, lab, pattern), said, lab);

describe("where names say that a measurement goes", () => {
  test.each([
    ["2026-11-03_LotA7_milled_p2_r1.csv", 4, "A7", "milled", "2"],
    ["A7 gemahlen Probe 2.xls", 4, "A7", "milled", "2"],
    ["garnet host lot 12 - 2nd firing (b).txt", 2, "Garnet host, lot 12", "re-fired", "b"],
    ["Fluorite-host_lot012_2. Brand_r3.csv", 3, "Fluorite host, lot 12", "re-fired", null],
    ["20261103 07 broyé prise 1.csv", 1, "Garnet host, lot 07", "milled", "1"],
    ["GARNET_HOST_CHARGE_07_GEBROCHEN.TXT", 1, "Garnet host, lot 07", "crushed", null],
    ["Lote 7 molido muestra 3.csv", 1, "Garnet host, lot 07", "milled", "3"],
    ["a-7 opposed jet pass 12:30.csv", 4, "A7", "milled", null],
    ["A7 粉砕 試料2.csv", 4, "A7", "milled", "2"],
    ["A7_background.csv", 4, "A7", null, null],
  ])("%s", (file, lotId, lot, stage, portion) => {
    expect(place(file)).toMatchObject({ lotId, lot, stage, portion });
  });

  test("a lot that two materials have is asked about, and the material settles it", () => {
    const open = place("lot 12 - 2nd firing (b).txt");
    expect(open).toMatchObject({ lotId: null, stage: "re-fired", portion: "b" });
    expect(open.question).toMatch(/Garnet host, lot 12.*Fluorite host, lot 12/);
    expect(place("lot 12 - 2nd firing (b).txt", "run 1", { material: "Fluorite host" })).toMatchObject({
      lotId: 3,
      question: null,
    });
  });

  test("a lot that is not there is called as the newest of its material is", () => {
    expect(place("garnet host lot 13 fired.csv")).toMatchObject({
      lotId: null,
      lot: "Garnet host, lot 13",
      material: "Garnet host",
      stage: "fired",
      question: null,
    });
    expect(place("lot 14 milled.csv")).toMatchObject({
      material: null,
      question: "Its names do not say the material.",
    });
  });

  test("what lots' names begin with tells them, though their material is called otherwise", () => {
    const doped = [
      { id: 1, name: "Garnet host, lot 20", material: "yttrium aluminium garnet" },
      { id: 2, name: "Garnet doped, lot 21", material: "yttrium aluminium garnet, doped" },
    ];
    const here = knownLab(
      doped.map(({ material }) => ({ name: material, steps: usualSteps })),
      doped,
    );
    const go = (file: string) => placeOf(saidByNames({ file, name: "run 1" }, here), {}, here);
    expect(go("Garnet host_Lot21_fired.csv")).toMatchObject({
      lotId: null,
      lot: "Garnet host, lot 21",
      material: "yttrium aluminium garnet",
    });
    expect(go("Garnet-doped Lot21 fired.csv").lotId).toBe(2);
    expect(go("FL31-C-1.csv")).toMatchObject({
      lot: "FL31",
      question: "Its names do not say the material and the stage.",
    });
  });

  test("a measurement's own name goes before its file's", () => {
    expect(place("november.csv", "A7 milled p1")).toMatchObject({ lotId: 4, stage: "milled", portion: "1" });
    expect(place("A7_milled.csv", "crushed, run 2")).toMatchObject({ lotId: 4, stage: "crushed" });
    expect(place("garnet host lot 07 fired to milled.csv").stage).toBe(null);
  });
});

describe("a pattern learned from one correction", () => {
  const name = "GH07-M-2.csv";
  const row = {
    material: "Garnet host",
    lot: "Garnet host, lot 07",
    stage: "milled",
    portion: null,
  } as const;
  const learned = learnedPattern(name, row, lab.words);

  test("says how the others are called", () => {
    expect(learned).toEqual({
      text: "{material}{lot}-{stage}-{run}",
      words: { M: "milled", GH: "Garnet host" },
    });
    expect(place("GH12-m-1.csv", "run 1", {}, learned)).toMatchObject({
      lotId: 2,
      material: "Garnet host",
      stage: "milled",
      question: null,
    });
  });

  test("knows a material that is new by the word it was given", () => {
    const text = "{material}{lot}-{stage}-{run}";
    const words = { SC: "Scandate host", M: "milled" };
    expect(place("SC31-M-1.csv", "run 1", {}, { text, words })).toMatchObject({
      material: "Scandate host",
      lot: "lot 31",
      stage: "milled",
      question: null,
    });
  });

  test("a second correction adds its word and keeps the first", () => {
    const more = learnedPattern("GH12-C-1.csv", { ...row, lot: "12", stage: "crushed" }, lab.words, learned);
    expect(more?.words).toEqual({ M: "milled", C: "crushed", GH: "Garnet host" });
  });

  test("a name of another form is read as before", () => {
    expect(place("A7 gemahlen Probe 2.csv", "run 1", {}, learned)).toMatchObject({
      lotId: 4,
      stage: "milled",
    });
  });

  test("what cannot be a pattern is refused in words", () => {
    expect(() => patternExpression("{lot}_{speed}")).toThrow(/may hold each of \{material\}, \{lot\}/);
    expect(() => patternExpression("*_*")).toThrow(/must hold a part/);
    expect(partsByPattern("A7_x", { text: "{lot}.{stage}", words: {} }, lab.words)).toBe(null);
  });
});
