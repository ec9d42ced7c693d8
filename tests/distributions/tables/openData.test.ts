import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { curveOf, sizeAt } from "#distributions/curve.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { describeWithData } from "../../checkData.ts";

const read = (path: string, options = {}) => readTable(readFileSync(path), path, options);

describeWithData(
  "broken sieve records are named, and never give a percentile",
  "open/sherbrooke_bad",
  (folder) => {
    test("a negative, a falling and an empty record", () => {
      const { measurements, problems } = read(`${folder}/grainsize_bad.csv`, {
        quantity: "volume",
        unit: "mm",
      });
      expect(measurements).toEqual([]);
      const refused = problems.filter((p) => p.severity === "refused");
      expect(refused.map((p) => [p.measurement, p.row])).toEqual([
        ["Soil 9", 17],
        ["Soil 12", 30],
        ["Soil 19", 49],
      ]);
      expect(refused.map((p) => p.message).join()).toMatch(
        /cannot be negative.*falls by 11.62 points.*the cell is empty/,
      );
    });
  },
);

describeWithData("sieve records in the long form", "open/sherbrooke_a", (folder) => {
  test("each soil is a measurement, the broken one is named", () => {
    const { measurements, problems } = read(`${folder}/grainsize.csv`, { quantity: "volume", unit: "mm" });
    expect(measurements.length).toBe(16);
    expect(problems.filter((p) => p.severity === "refused").map((p) => p.measurement)).toEqual([
      "Soil 9",
      "Soil 19",
    ]);
  });
});

describeWithData("a wide table with a measurement a row", "open/mjb_sw", (folder) => {
  test("972 measurements; the first has the median printed beside it", () => {
    const { measurements, problems } = read(`${folder}/tidy_wide.csv`, { edge: "upper", quantity: "volume" });
    expect(problems.filter((p) => p.severity !== "note")).toEqual([]);
    expect(measurements.length).toBe(972);
    const [first] = measurements;
    expect(first === undefined ? 0 : (sizeAt(curveOf(first.distribution), 0.5) ?? 0) / 360.82272).toBeCloseTo(
      1,
      4,
    );
  });
});

describeWithData("a list of particles", "open/microplastics", (folder) => {
  test("is refused as no table of classes", () => {
    const { measurements, problems } = read(`${folder}/alkema_microplastics.csv`, { quantity: "number" });
    expect(measurements).toEqual([]);
    expect(problems.map((p) => p.severity)).toContain("refused");
  });
});
