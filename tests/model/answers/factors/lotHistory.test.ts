import { describe, expect, test } from "vitest";
import { historyAnswer } from "#model/answers/factors/historyAnswer.ts";
import { type LotRecord, lotHistory, targetsOf } from "#model/answers/factors/lotHistory.ts";
import { individuals } from "#model/factors/individuals.ts";
import { effectPicture } from "#model/pictures/effectPicture.ts";
import { lotChart } from "#model/pictures/lotChart.ts";
import { pictureSvg } from "#model/pictures/pictureSvg.ts";
import { powder } from "../../powder.ts";

const temperature = (value: string, unit = "°C") => ({ stage: "fired", name: "temperature", value, unit });
const record = (i: number, more: Partial<LotRecord> = {}): LotRecord => ({
  name: `lot ${i}`,
  densityGPerCm3: 4.55,
  runs: [powder(3 + 0.02 * i + 0.01 * (i % 2)), powder(3 + 0.02 * i + 0.01 * (i % 2))],
  settings: [temperature(String(1500 + 10 * i))],
  results: [{ stage: null, name: "residues", value: 1 + 0.1 * ((i * 7) % 5), unit: "wt %" }],
  ...more,
});
const asked = { stage: "re-fired", belowUm: 1 };
const eight = Array.from({ length: 8 }, (_, i) => record(i));

describe("kept lots as a history", () => {
  test("sizes are of the mean curve, the BET ratio of the value noted for the stage", () => {
    const bet = { name: "BET area", value: 0.6, unit: "m²/g" };
    const found = lotHistory(
      [
        record(0, { results: [{ stage: "re-fired", ...bet }] }),
        record(1, { results: [{ stage: "milled", ...bet }] }),
      ],
      asked,
    );
    const column = (name: string) => found.columns.find((c) => c.name === name)?.values ?? [];
    expect(column("D50")[0]).toBeCloseTo(3, 2);
    const area = column("geometric area")[0] ?? Number.NaN;
    expect(column("BET ratio")).toEqual([expect.closeTo(0.6 / area, 12), null]);
    expect(found.results).toEqual(["BET area"]);
  });
  test("one run is enough for a lot to stand in it", () => {
    const found = lotHistory([record(0, { runs: [powder(3)] }), record(1)], asked);
    expect(found.columns.find((c) => c.name === "D50")?.values[0]).toBeCloseTo(3, 2);
    expect(found.columns.find((c) => c.name === "D50")?.values).toHaveLength(2);
  });
  test("a lot without runs of the stage is left out; a setting in words is no column", () => {
    const found = lotHistory(
      [record(0), record(1, { runs: [] }), record(2, { settings: [temperature("hot")] })],
      asked,
    );
    expect(found.lots).toEqual(["lot 0", "lot 2"]);
    expect(found.columns.find((c) => c.name === "firing temperature")?.values).toEqual([1500, null]);
  });
  test("a decimal comma is read, and two units of one name stay apart", () => {
    const found = lotHistory(
      [
        record(0, { settings: [temperature("1500,5")] }),
        record(1, { settings: [temperature("1600")] }),
        record(2, { settings: [temperature("1773", "K")] }),
      ],
      asked,
    );
    expect(found.settings).toEqual(["firing temperature", "firing temperature in K"]);
    expect(found.columns.find((c) => c.name === "firing temperature")?.values).toEqual([1500.5, 1600, null]);
  });
});

describe("what it says", () => {
  const history = lotHistory(eight, asked);
  const entered = (of: string, factor: string) => historyAnswer(history, { of: [of], factors: [factor] });
  test("an effect that is there, with its units; a result that goes with nothing", () => {
    expect(entered("D50", "firing temperature").effects[0]?.sentence).toMatch(
      /^D50 rises with firing temperature by 0\.0020 µm per °C \(.* eight lots\)/,
    );
    expect(entered("residues", "geometric area").effects[0]?.sentence).toMatch(
      /^No significant effect of geometric area on residues was found: .* wt % per m²\/g/,
    );
  });
  test("five lots are too few, and eight with one setting tell nothing either, each in its own words", () => {
    const few = historyAnswer(lotHistory(eight.slice(0, 5), asked), {
      of: ["D50"],
      factors: ["firing temperature"],
    });
    expect(few.effects[0]?.sentence).toMatch(/^There are too few lots .* five lots, but/);
    const same = lotHistory(
      eight.map((r) => ({ ...r, settings: [temperature("1500")] })),
      asked,
    );
    expect(
      historyAnswer(same, { of: ["D50"], factors: ["firing temperature"] }).effects[0]?.sentence,
    ).toMatch(/was the same for all eight lots/);
  });
  test("limits bear the unit", () => {
    expect(entered("D50", "firing temperature").charts[0]?.sentence).toMatch(/–\d\.\d\d µm/);
  });
});

describe("as pictures", () => {
  const values = [10, 10.2, 9.9, 10.1, 9.8, 10.1, 9.9, 10.2, 9.9, 10, 13];
  const names = values.map((_, i) => `lot ${i}`);
  const of = { label: "D50, µm", name: "D50 over lots" };
  test("the target is the ground, every lot a dot, and the one beyond it is filled and named", () => {
    const chart = individuals(values);
    const picture = lotChart(values, names, chart, { ...of, target: { low: null, high: 11 } });
    const dots = picture?.marks.flatMap((m) => (m.kind === "dot" ? [m] : [])) ?? [];
    expect(dots.length).toBe(11);
    expect(dots.map((d) => d.look).lastIndexOf("full")).toBe(10);
    const ground = picture?.marks.find((m) => m.kind === "area");
    const top = ground?.kind === "area" ? (ground.points[0]?.[1] ?? 0) : 0;
    expect(dots[10]?.at[1]).toBeLessThan(top);
    expect(dots[0]?.at[1]).toBeGreaterThan(top);
    expect(picture?.marks).toContainEqual(
      expect.objectContaining({ kind: "words", text: "lot 10", isFirm: true }),
    );
  });
  test("a lot in its target is filled where it completes a rule alone; without a target there is no ground", () => {
    const dotsOf = (target: { low: number | null; high: number | null } | null) =>
      lotChart(values, names, individuals(values), { ...of, target })?.marks.flatMap((m) =>
        m.kind === "dot" && m.look === "full" ? [m.at[0]] : [],
      ).length;
    expect(dotsOf(null)).toBe(dotsOf({ low: 1, high: 20 }));
    expect(dotsOf({ low: 9.85, high: 20 })).toBe((dotsOf(null) ?? 0) + 1);
    const bare = lotChart(values, names, individuals(values), of);
    expect(bare?.marks.some((m) => m.kind === "area")).toBe(false);
    expect(bare?.marks.filter((m) => m.kind === "line" && m.look === "dashed").length).toBe(1);
  });
  test("lots without limits are still drawn; no lot is no picture", () => {
    expect(lotChart([1, 2], ["a", "b"], null, of)?.marks.some((m) => m.kind === "area")).toBe(false);
    expect(lotChart([], [], null, of)).toBeNull();
    expect(effectPicture([], null, { xLabel: "x", yLabel: "y", name: "none" })).toBeNull();
  });
  test("one point and equal values have a place too, never NaN", () => {
    const one = effectPicture([{ x: 2, y: 0, lot: "a" }], null, { xLabel: "x", yLabel: "y", name: "one" });
    expect(one === null ? "NaN" : pictureSvg(one)).not.toMatch(/NaN|Infinity/);
    const level = lotChart([5, 5, 5], ["a", "b", "c"], null, of);
    expect(level === null ? "NaN" : pictureSvg(level)).not.toMatch(/NaN|Infinity/);
  });
});

describe("a target over the lots", () => {
  const history = (values: readonly number[]) => ({
    lots: values.map((_, i) => `lot ${i + 1}`),
    columns: [{ name: "D90", unit: "µm", values }],
  });
  const entered = (values: readonly number[], target: { low: number | null; high: number | null }) =>
    historyAnswer(history(values), { of: ["D90"], factors: [], targets: { D90: target } }).charts[0];
  const six = [5.8, 5.9, 7.64, 5.7, 6, 5.9];
  test("lots outside it come first, however wide the limits that they made themselves", () => {
    expect(entered(six, { low: 5.4, high: 6.25 })?.sentence).toMatch(
      /^lot 3: D90 7\.64 µm is above the upper limit of 6\.25 µm\. Six lots are too few to call D90 steady; /,
    );
    expect(entered(six, { low: 5.75, high: null })?.sentence).toMatch(
      /^lot 4: D90 5\.70 µm is below the lower limit of 5\.75 µm\. Six/,
    );
    expect(entered(six, { low: 5.7, high: 7.64 })?.sentence).toMatch(/^Six lots are too few/);
    expect(entered(six, { low: null, high: 1 })?.sentence).toMatch(
      /^Six lots lie outside the limits of D90, most recently lot 6\. /,
    );
  });
  test("the band's rows speak of the columns that are theirs, shares as per cent", () => {
    const rows = [
      { limit: "d50Um", low: 3.1, high: 3.65 },
      { limit: "belowShare", sizeUm: 1, low: null, high: 0.035 },
      { limit: "surfaceM2PerG", low: 0.4, high: null },
      { limit: "span", low: 1, high: 2 },
    ];
    expect(targetsOf({ rows })).toEqual({
      D50: { low: 3.1, high: 3.65 },
      "fines below 1 µm": { low: null, high: expect.closeTo(3.5, 12) },
      "geometric area": { low: 0.4, high: null },
    });
  });
});
