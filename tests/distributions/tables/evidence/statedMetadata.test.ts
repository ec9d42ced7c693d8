import { describe, expect, test } from "vitest";
import { readTable } from "#distributions/tables/readTable.ts";

// Headings are those of the trade (ISO 13320 names optical model, refractive index, obscuration); the values are invented.
const table = "lower um,upper um,volume %\n1,2,20\n2,4,60\n4,8,20\n";
const stated = (above: string, below = "") => {
  const { measurements, problems } = readTable(`${above}\n${table}${below}`, null, {});
  expect(problems.filter((p) => p.severity !== "note")).toEqual([]);
  expect(measurements.length).toBe(1);
  const notes = problems.filter((p) => /Taken from the lines/.test(p.message)).map((p) => p.message);
  return { how: measurements[0]?.howMeasured, notes };
};

describe("how it was measured, out of the lines around a table", () => {
  test("a number may stand without its unit, and is not taken in another's", () => {
    expect(stated("Obscuration: 12").how).toEqual({ obscurationPercent: 12 });
    expect(stated("Obscuration: 12 kg").how).toBeUndefined();
    expect(stated("Obscuration: 100").how).toEqual({ obscurationPercent: 100 });
    expect(stated("Obscuration: 100.5").how).toBeUndefined();
  });
  test("plain headings are taken, with a note", () => {
    const { how, notes } = stated(
      [
        "Technique: laser diffraction",
        "Optical model,Mie",
        "Particle refractive index,1.83",
        "Absorption index: 0.01",
        "Dispersant,water with 0.1 % salt",
        "Ultrasound: 40 W for 2 min",
        "Obscuration (%),12.5",
        "Date,2026-03-02 14:05",
        "Operator: JK",
        "Instrument: cell 2",
        "Reference drum = drum 7",
      ].join("\n"),
    );
    expect(how).toEqual({
      technique: "laser diffraction",
      opticalModel: "Mie",
      refractiveIndex: 1.83,
      absorptionIndex: 0.01,
      dispersant: "water with 0.1 % salt",
      ultrasoundPowerW: 40,
      ultrasoundTimeS: 120,
      obscurationPercent: 12.5,
      date: "2026-03-02 14:05",
      operator: "JK",
      instrument: "cell 2",
      referenceDrum: "drum 7",
    });
    expect(notes).toEqual([
      "Taken from the lines around the table, as how it was measured: technique laser diffraction, optical model Mie, refractive index 1.83, absorption index 0.01, dispersant water with 0.1 % salt, ultrasound power 40 W, ultrasound time 120 s, obscuration 12.5 %, date 2026-03-02 14:05, operator JK, instrument cell 2, reference drum drum 7. Correct it before saving, if that is wrong.",
    ]);
  });

  test.each([
    ["Refractive index: 1.83 - 0.01i", { refractiveIndex: 1.83, absorptionIndex: 0.01 }],
    ["Refractive index: 1.83 − i0.01", { refractiveIndex: 1.83, absorptionIndex: 0.01 }],
    ["Obscuration,12 %", { obscurationPercent: 12 }],
    ["Obscuration,1.5", { obscurationPercent: 1.5 }],
    ["Ultrasound: none", { ultrasoundPowerW: 0, ultrasoundTimeS: 0 }],
    ["Sonication time (s): 30", { ultrasoundTimeS: 30 }],
  ])("%s", (line, how) => {
    expect(stated(line).how).toEqual(how);
  });

  test.each([
    "Dispersant refractive index: 1.33",
    "Date of calibration: 2019",
    "Obscuration: 0.12",
    "Obscuration: 10-15 %",
    "Ultrasound power: strong",
    "The operator was told to stir",
    "Dispersant: not stated",
    "Refractive index: -3",
  ])("%s is left among the notes", (line) => {
    expect(stated(line)).toEqual({ how: undefined, notes: [] });
  });

  test("decimal commas and a footer read too; a later table that states nothing goes by the one before", () => {
    const text =
      "Brechungsindex;1\nrefractive index;1,83\nlower um;upper um;volume %\n0,5;1,0;20\n1,0;2,0;60\n2,0;4,0;20\n\nlower um;upper um;volume %\n0,5;1,0;30\n1,0;2,0;60\n2,0;4,0;10\noperator: JK\n";
    const { measurements } = readTable(text, null, {});
    expect(measurements.map((m) => m.howMeasured)).toEqual([{ refractiveIndex: 1.83 }, { operator: "JK" }]);
    const silent = readTable(text.replace("operator: JK\n", ""), null, {});
    expect(silent.measurements.map((m) => m.howMeasured?.refractiveIndex)).toEqual([1.83, 1.83]);
  });
  test("while a table waits for an answer, nothing is said to be taken", () => {
    const { problems } = readTable("Operator: JK\nsize um,volume %\n1,20\n2,60\n4,20\n", null, {});
    expect(problems.map((p) => p.severity)).toEqual(["question"]);
  });
  test("so does one above which stands a value that cannot be read", () => {
    const { measurements } = readTable(`Operator: JK\n${table}\nSonication time: long\n${table}`, null, {});
    expect(measurements.map((m) => m.howMeasured)).toEqual([{ operator: "JK" }, { operator: "JK" }]);
  });
});
