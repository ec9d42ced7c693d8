import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  measurementMetadata,
  statedFields,
  statedTexts,
  withStated,
} from "#distributions/measurementMetadata.ts";
import {
  inClassRules,
  type NamedMeasurement,
  quantities,
  type SizeDistribution,
  sizeDistribution,
} from "#distributions/sizeDistribution.ts";
import { jsonCopy } from "#distributions/tables/copies/jsonCopy.ts";
import { writeTables } from "#distributions/tables/copies/writeTable.ts";
import { readTable } from "#distributions/tables/readTable.ts";

const distribution = fc
  .record({
    first: fc.double({ min: 0.02, max: 5, noNaN: true }),
    steps: fc.array(fc.double({ min: 1.05, max: 1.6, noNaN: true }), { minLength: 2, maxLength: 30 }),
    weights: fc.array(fc.integer({ min: 0, max: 1000 }), { minLength: 32, maxLength: 32 }),
    quantity: fc.constantFrom(...quantities),
    measuredAs: fc.constantFrom(...quantities),
    inClass: fc.constantFrom(...inClassRules),
    isOpen: fc.boolean(),
  })
  .filter(({ weights, steps }) => weights.slice(0, steps.length).some((w) => w > 0))
  .map(({ first, steps, weights, isOpen, ...rest }): SizeDistribution => {
    const edges = [first];
    for (const step of steps) edges.push((edges.at(-1) ?? first) * step);
    const used = weights.slice(0, steps.length);
    const [below, above] = isOpen ? [weights[30] ?? 0, weights[31] ?? 0] : [0, 0];
    const sum = used.reduce((a, b) => a + b, below + above);
    return sizeDistribution({
      ...rest,
      lowerUm: edges.slice(0, -1),
      upperUm: edges.slice(1),
      shares: used.map((w) => w / sum),
      belowShare: below / sum,
      aboveShare: above / sum,
    });
  });
// Words in a name say nothing about the values of a copy.
const name = fc.constantFrom(
  "run 1",
  "oversize run",
  "count 3, wet",
  'the "mean" of two',
  "=2+3",
  "density %",
  "-1.5 bar",
  "garnet",
);
const said = fc.option(fc.string({ unit: "grapheme", maxLength: 30 }), { nil: null });
const entered = fc.option(fc.double({ min: 0.01, max: 10, noNaN: true }), { nil: null });
/** Any texts and numbers, or nothing stated at all. */
const how = fc.option(
  fc
    .tuple(...statedFields.map(({ field }) => (statedTexts.some((text) => text === field) ? said : entered)))
    .map((values) =>
      measurementMetadata(Object.fromEntries(statedFields.map(({ field }, i) => [field, values[i]]))),
    ),
  { nil: {} },
);
const named = fc.uniqueArray(
  fc.record({ name, distribution, how }).map(
    ({ how: stated, ...rest }): NamedMeasurement => ({
      file: null,
      ...rest,
      ...withStated(stated),
    }),
  ),
  { minLength: 1, maxLength: 4, selector: (m) => m.name },
);
const read = (text: string): readonly NamedMeasurement[] => {
  const { measurements, problems } = readTable(text, null, {});
  expect(problems.filter((p) => p.severity !== "note")).toEqual([]);
  return measurements;
};

describe("a copy reads back as it was, to the last digit", () => {
  test("as CSV, as tabs and as JSON", () => {
    fc.assert(
      fc.property(named, (measurements) => {
        expect(read(writeTables(measurements))).toEqual(measurements);
        expect(read(writeTables(measurements, { delimiter: "\t" }))).toEqual(measurements);
        expect(read(jsonCopy(measurements))).toEqual(measurements);
      }),
      { numRuns: 60 },
    );
  });

  test("what is not stated of how it was measured is said so above the table", () => {
    const distribution = sizeDistribution({
      quantity: "volume",
      lowerUm: [1, 2],
      upperUm: [2, 4],
      shares: [0.5, 0.5],
    });
    const stated = { technique: "laser diffraction", refractiveIndex: 1.83, ultrasoundTimeS: 60 };
    const table = writeTables([
      { file: null, name: "a", distribution, howMeasured: stated },
      { file: null, name: "b", distribution },
    ]);
    expect(table.split("\n").slice(1, 13)).toEqual([
      "technique: laser diffraction",
      "optical model: not stated",
      "refractive index: 1.83",
      "absorption index: not stated",
      "dispersant: not stated",
      "ultrasound power: not stated",
      "ultrasound time: 60 s",
      "obscuration: not stated",
      "date: not stated",
      "operator: not stated",
      "instrument: not stated",
      "reference drum: not stated",
    ]);
    expect(table).toMatch(/\nhow it was measured: not stated\nlower_um,upper_um,b\n/);
    expect(read(table).map((m) => m.howMeasured)).toEqual([stated, undefined]);
    const json = jsonCopy([{ file: null, name: "a", distribution, howMeasured: stated }]);
    expect(JSON.parse(json).measurements[0].howMeasured).toMatchObject({ ...stated, dispersant: null });
    expect(readTable(json.replace("1.83", "-1.83"), null, {}).problems[0]?.message).toMatch(
      /refractive index must lie from 0.01 to 10/,
    );
  });

  test("names that a spreadsheet would run are escaped on request, numbers never", () => {
    const one = sizeDistribution({
      quantity: "volume",
      lowerUm: [1, 2],
      upperUm: [2, 4],
      shares: [0.5, 0.5],
    });
    const written = (text: string, escapesFormulas: boolean) =>
      writeTables([{ file: null, name: text, distribution: one }], { escapesFormulas });
    expect(written("=1+1", true)).toMatch(/,'=1\+1\n1,2,0\.5\n/);
    expect(written("=1+1", false)).toMatch(/,=1\+1\n/);
    expect(written("garnet", true)).toMatch(/,garnet\n/);
  });

  test("a damaged measurement of a JSON copy never loses the others; another version is refused", () => {
    const one = sizeDistribution({
      quantity: "volume",
      lowerUm: [1, 2],
      upperUm: [2, 4],
      shares: [0.5, 0.5],
    });
    const whole = jsonCopy([
      { file: null, name: "a", distribution: one },
      { file: null, name: "b", distribution: one },
    ]);
    const { measurements, problems } = readTable(whole.replace("0.5", "0.7"), null, {});
    expect(measurements.map((m) => m.name)).toEqual(["b"]);
    expect(problems.map((p) => p.message).join()).toMatch(
      /Measurement 1 of the copy is damaged: shares must add to 1/,
    );
    expect(readTable(whole.replace('"schema": 1', '"schema": 9'), null, {}).problems[0]?.found).toBe(
      "schema 9",
    );
    expect(readTable('{"fineband": "measurements', null, {}).problems[0]?.message).toMatch(
      /damaged or of another version/,
    );
  });
});
