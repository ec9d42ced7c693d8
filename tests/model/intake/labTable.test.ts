import fc from "fast-check";
import { expect, test } from "vitest";
import { knownLab } from "../../../model/intake/intake.ts";
import { readLabTable } from "../../../model/intake/labTable.ts";
import { labTableText, type NotedLot } from "../../../model/intake/labTableText.ts";
import { usualSteps } from "../../../model/lot/processSteps.ts";

const materials = [
  { name: "Garnet host", steps: usualSteps },
  { name: "Spinel host", steps: usualSteps },
];
const savedLots = [
  { id: 1, name: "Garnet host, lot 07", material: "Garnet host" },
  { id: 2, name: "Spinel host, lot 07", material: "Spinel host" },
  { id: 3, name: "Spinel host, lot 31", material: "Spinel host" },
];
const lab = knownLab(materials, savedLots);

// Headings as laboratories write them; common practice, no source.
test("a sheet of settings and results is read under whatever headings people use", () => {
  const sheet = [
    "Charge\tBrenntemperatur (°C)\tHaltezeit [h]\twheel krpm\tAir m3/min\tBET, m2/g\tu(BET)\tGlow index",
    "lot 31\t1150\t4\t6,2\t3,1\t1,21\t0,02\t17",
    "Spinel host, lot 32\t1160 °C\t4\t6,3\t3,2\t1,19\t0,02\t18",
  ].join("\n");
  const { columns, rows, problems } = readLabTable(sheet, lab, { material: "Spinel host" });
  expect(problems).toEqual([]);
  expect(columns.map(({ as, name, unit }) => `${as} ${name} ${unit}`.trim())).toEqual([
    "lot",
    "setting temperature °C",
    "setting time h",
    "setting wheel speed rpm",
    "setting gas flow m³/h",
    "result BET area m²/g",
    "uncertainty BET area m²/g",
    "open Glow index",
  ]);
  expect(rows.map(({ place }) => [place.lotId, place.lot])).toEqual([
    [3, "Spinel host, lot 31"],
    [null, "Spinel host, lot 32"],
  ]);
  expect(rows[0]?.stages).toMatchObject([
    { stage: "fired", settings: [{ value: "1150" }, { value: "4" }] },
    { stage: "milled", settings: [{ value: "6200" }, { value: "186" }] },
  ]);
  expect(rows[0]?.results).toMatchObject([{ name: "BET area", value: 1.21, uncertainty: 0.02 }]);
  expect(rows[1]?.stages[0]?.settings[0]?.value).toBe("1160");
  const said = readLabTable(sheet, lab, {
    material: "Spinel host",
    columns: { "Glow index": { as: "result", stage: "re-fired" } },
  });
  expect(said.rows[1]?.results).toContainEqual(
    expect.objectContaining({ name: "Glow index", value: 18, stage: "re-fired" }),
  );
});

test("a cell that cannot stand is named and its row left out; a lot that two materials have is asked about", () => {
  const sheet =
    "Lot;Stage;Mass in (kg);Mass out (g);Date;BET (m²/g)\n07;milled;1,5;1450;30.11.2026;1,2\nlot 31;gemahlen;1,2;many;03/04/2026;x\n";
  const { rows, problems } = readLabTable(sheet, lab);
  expect(problems).toEqual([]);
  expect(rows[0]?.place.question).toMatch(/both meant/);
  expect(rows[0]?.stages).toMatchObject([
    { stage: "milled", massInG: 1500, massOutG: 1450, date: "2026-11-30" },
  ]);
  expect(rows[1]?.faults.map(({ row, column, found }) => [row, column, found])).toEqual([
    [3, 4, "many"],
    [3, 5, "03/04/2026"],
    [3, 6, "x"],
  ]);
});

test("what is not certain is refused in a sentence", () => {
  expect(readLabTable("a\tb\n1\t2\n", lab).problems[0]?.message).toMatch(/No column names the lots/);
  expect(readLabTable("Lot;time (h)\nA;1.234\n", lab).problems[0]?.message).toMatch(/can be 1.234 or 1234/);
  expect(readLabTable("Lot\ttime (h)\n", lab).problems[0]?.message).toMatch(/no rows/);
});

const word = fc
  .stringMatching(/^[a-zA-Zµ°²³ ,;"'.0-9-]{1,14}$/)
  .map((text) => text.trim())
  .filter((text) => text !== "");
const number = fc
  .double({ noNaN: true, noDefaultInfinity: true, min: -1e6, max: 1e6 })
  .map((x) => Number(x.toPrecision(6)) + 0);
const mass = fc.option(number.map((x) => Math.abs(x) + 1).map((x) => Number(x.toPrecision(6))));
const day = fc.option(fc.constantFrom("2026-11-30", "2024-02-29", "1999-01-02"));
const step = fc.constantFrom("precursor", "fired", "milled", "second firing");
const lots: fc.Arbitrary<NotedLot[]> = fc.array(
  fc.record({
    name: word.map((text) => `Spinel host, lot ${text}`),
    material: fc.constant("Spinel host"),
    dateMade: day,
    stages: fc.uniqueArray(
      fc.record({
        stage: step,
        settings: fc.uniqueArray(
          fc.record({
            name: word,
            value: fc.oneof(word, number.map(String)),
            unit: fc.constantFrom("", "h", "mol %"),
          }),
          { selector: ({ name, unit }) => `${name} ${unit}`, minLength: 1, maxLength: 3 },
        ),
        note: fc.oneof(fc.constant(""), word, fc.constant('two\nlines, "quoted"\tand parted')),
        date: day,
        massInG: mass,
        massOutG: mass,
      }),
      { selector: ({ stage }) => stage, maxLength: 3 },
    ),
    results: fc.array(
      fc.record({
        stage: fc.option(step),
        name: word,
        value: number,
        unit: fc.constantFrom("", "m²/g", "%"),
        uncertainty: fc.option(number.map(Math.abs)),
        date: day,
      }),
      { maxLength: 4 },
    ),
  }),
  { minLength: 1, maxLength: 3 },
);

const inOrder = (values: readonly unknown[]) => values.map((value) => JSON.stringify(value)).toSorted();

test("what is copied out pastes back as the very same", () => {
  fc.assert(
    fc.property(lots, (all) => {
      // Each alone, so that rows are told apart by their lot whatever it is called.
      for (const lot of all) {
        const { name, material } = lot;
        const isSaved = savedLots.some((saved) => saved.name === name);
        const itsLab = isSaved ? lab : knownLab(materials, [...savedLots, { id: 4, name, material }]);
        const { rows, problems } = readLabTable(labTableText([lot]), itsLab);
        expect(problems).toEqual([]);
        expect(rows.flatMap(({ faults }) => faults)).toEqual([]);
        expect(new Set(rows.map(({ place }) => place.lot))).toEqual(new Set([lot.name]));
        expect(rows[0]?.dateMade ?? null).toBe(lot.dateMade);
        const settings = (one: NotedLot["stages"][number]) => ({ ...one, settings: inOrder(one.settings) });
        expect(inOrder(rows.flatMap(({ stages }) => stages).map(settings))).toEqual(
          inOrder(lot.stages.map(settings)),
        );
        expect(inOrder(rows.flatMap(({ results }) => results))).toEqual(inOrder(lot.results));
      }
    }),
    { numRuns: 40 },
  );
});
