import { expect, test } from "vitest";
import { knownLab } from "../../../model/intake/intake.ts";
import { readLabTable } from "../../../model/intake/labTable.ts";
import { usualSteps } from "../../../model/lot/processSteps.ts";
import { labSheetOf, wrongInSheet } from "../../fuzz/hostile/labSheets.ts";

const lab = knownLab([{ name: "Garnet host", steps: usualSteps }], []);
const read = (text: string) => readLabTable(text, lab, { material: "Garnet host", stage: "milled" });
const sheets = process.env["FINEBAND_HARD"] === "whole" ? 6000 : 500;

test(`${sheets} sheets of settings, results and masses under any headings and units: none misread`, () => {
  const outcomes = Array.from({ length: sheets }, (_, seed) => labSheetOf(seed)).map((sheet) => ({
    sheet,
    ...read(sheet.text),
  }));
  expect(
    outcomes.flatMap(({ sheet, rows }) => {
      const what = wrongInSheet(sheet, rows);
      return what === null ? [] : [`${sheet.seed}: ${what}`];
    }),
  ).toEqual([]);
  // What is refused as a whole says which number reads two ways; what is left out, what was expected.
  const refused = outcomes.flatMap(({ problems }) => problems.map(({ message }) => message));
  expect(refused.filter((message) => !message.includes(" can be "))).toEqual([]);
  const faults = outcomes.flatMap(({ rows }) => rows.flatMap((row) => row.faults));
  expect(faults.filter(({ expected, message }) => !message.includes(`is not ${expected}`))).toEqual([]);
});

test.each([
  ["Lot;Einwaage (mg)\nK1;1500.5", 1.5005],
  ["Lot;mass in (g)\nK1;1.5 kg", 1500],
  ["Lot;mass in\nK1;2,5 kg", 2500],
])("%s is grams", (text, grams) => {
  expect(read(text).rows[0]?.stages[0]?.massInG).toBeCloseTo(grams, 9);
});

test("another unit in a cell is kept or named, never dropped", () => {
  expect(read("Lot;Temperature (°C)\nK1;1160.5 K").rows[0]?.stages[0]?.settings).toMatchObject([
    { value: "1160.5", unit: "K" },
  ]);
  expect(read("Lot;tap density (g/cm³)\nK1;2100 kg/m³").rows[0]?.faults[0]?.message).toMatch(
    /a number in g\/cm³/,
  );
  expect(read("Lot;BET (m²/g);SD (%)\nK1;1.25;3").columns[2]?.as).toBe("open");
  expect(read("Lot;mass in (lb)\nK1;3.5").columns[1]?.as).toBe("open");
  expect(read("Lot;D50 mil\nK1;0.25").columns[1]?.as).toBe("open");
});
