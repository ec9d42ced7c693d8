import { describe, expect, test } from "vitest";
import { curveOf, sizeAt } from "#distributions/curve.ts";
import { geometricSurface, meanDiameterUm } from "#distributions/moments.ts";
import { type NamedMeasurement, sizeDistribution } from "#distributions/sizeDistribution.ts";
import type { ReportQuestion } from "#model/answers/report/report.ts";
import { reportAnswer } from "#model/answers/report/reportAnswer.ts";
import type { Band } from "#model/band/band.ts";
import { figures } from "#model/words/wording.ts";
import { powder } from "../../powder.ts";

// Every number on the sheet is held to the verb that gives it.
const run = (medianUm: number, name: string, file: string | null = "lot.csv"): NamedMeasurement => ({
  ...powder(medianUm),
  name,
  file,
});
const runs = [run(2.95, "a"), run(3, "b"), run(3.05, "c")];
const band: Band = {
  version: 1,
  name: "garnet",
  stage: "milled",
  densityGPerCm3: 4.55,
  rule: "two-sided",
  rows: [
    { limit: "d50Um", low: 2.5, high: 3.5, source: "agreed with the user" },
    { limit: "belowShare", sizeUm: 1, low: null, high: 0.05 },
    { limit: "d99.99Um", low: 1, high: 99 },
  ],
  envelope: null,
  source: "five runs of a reference",
};
const asked: ReportQuestion = {
  lotName: "lot 7",
  material: "YAG",
  stage: "milled",
  densityGPerCm3: 4.55,
  runs,
  others: [],
  band,
  ahead: null,
  report: "full",
};
// A whole sheet takes half a second: each that is asked for is made once.
const made = new Map<string, ReturnType<typeof reportAnswer>>();
const sheet = (more: Partial<ReportQuestion> = {}) => {
  const key = JSON.stringify(more);
  const answer = made.get(key) ?? reportAnswer({ ...asked, ...more });
  made.set(key, answer);
  return answer;
};
const table = (title: string, more: Partial<ReportQuestion> = {}) =>
  sheet(more).tables.find((t) => t.title.startsWith(title));
const titles = (more: Partial<ReportQuestion> = {}) => ({
  tables: sheet(more).tables.map((t) => t.title),
  notes: sheet(more).notes.map((n) => n.title),
});

describe("one sheet", () => {
  test("says what it is about, the verdict with its rule", () => {
    const { title, about, rule, verdict } = sheet();
    expect(title).toBe("lot 7, milled");
    expect(about).toBe("YAG, density 4.55 g/cm³; three runs.");
    expect(sheet({ material: "" }).about).toBe("density 4.55 g/cm³; three runs.");
    expect(rule).toMatch(/^Band garnet for milled powder; limits by volume\. Decision rule two-sided: /);
    expect(sheet({ band: { ...band, stage: "" } }).rule).toContain("for powder of any stage");
    expect(verdict).toContain("three runs");
    expect(sheet({ band: null })).toMatchObject({
      rule: "",
      verdict: "The lot has no target band, so it is not judged.",
    });
  });
  test("of another stage it has no verdict and no advice, of its own it says what would bring it back", () => {
    const off = { ...band, rows: [{ limit: "d50Um", low: 2.5, high: 2.7 }] };
    expect(sheet({ band: off }).verdict).toMatch(
      /Milling about .* % finer would bring the mean into the band/,
    );
    expect(sheet({ band: off, stage: "fired" }).verdict).toMatch(/^This is fired powder/);
    expect(sheet({ band: off, stage: "fired" }).verdict).not.toMatch(/bring the mean/);
  });
  test("tells as much as is asked of it", () => {
    expect(titles({ report: "grade" })).toEqual({ tables: ["Limits"], notes: ["Notes on use"] });
    expect(titles({ report: "method" })).toEqual({
      tables: [
        "Limits",
        "Probability of conformance, all limits together",
        "Sizes and area",
        "Uncertainty budget (JCGM 100)",
      ],
      notes: ["Method", "Uncertainty", "Notes on use"],
    });
    expect(titles()).toEqual({
      tables: [
        "Limits",
        "Each run, µm (lot.csv)",
        "Probability of conformance, all limits together",
        "Sizes and area",
        "Uncertainty budget (JCGM 100)",
      ],
      notes: ["Method", "Uncertainty", "Fit", "Source of the limits", "Notes on use"],
    });
    expect(titles({ band: null })).toEqual({
      tables: ["Each run, µm (lot.csv)", "Sizes and area", "Uncertainty budget (JCGM 100)"],
      notes: ["Method", "Uncertainty", "Fit", "Notes on use"],
    });
  });
  test("a customer gets results, limits, days and room to sign, and nothing of advice, chances, other stages or lots", () => {
    const off = { ...band, rows: [{ limit: "d50Um", low: 2.5, high: 2.7 }, ...band.rows] };
    const given = sheet({
      report: "customer",
      band: off,
      parties: { issuer: "Pilot line", customer: "A lamp maker" },
      days: { made: "2026-02-09", measured: "2026-02-11" },
      measured: [{ name: "BET area", value: 0.61, unit: "m²/g", uncertainty: 0.02, method: "nitrogen" }],
    });
    expect(given.title).toBe("Test report: lot 7, milled");
    expect(given.about).toBe(
      "Issued by Pilot line for A lamp maker. YAG. Made 9 Feb 2026, measured 11 Feb 2026. Three runs.",
    );
    expect(given.verdict).toMatch(/^Three of four limits are met\. Not met: D50\.$/);
    expect(given.tables.map((t) => t.title)).toEqual(["Results", "Other results"]);
    expect(given.tables[0]?.heading).toEqual(["", "value", "95 % interval", "limits", "verdict"]);
    expect(given.tables[1]?.rows).toEqual([["BET area", "0.61 m²/g", "0.02 m²/g", "nitrogen"]]);
    expect(given.signatures).toEqual(["Tested by", "Approved for issue by"]);
    expect(JSON.stringify(given)).not.toMatch(/Milling|chance|probability|crushed|fired|pair/);
    expect(sheet({ report: "customer", stage: "fired" }).verdict).toBe("No limits were agreed.");
  });
  test("the limits with value, interval, verdict and chance; a share in per cent, what is not known said so", () => {
    const rows = table("Limits")?.rows ?? [];
    const d50 = runs.map((r) => sizeAt(curveOf(r.distribution), 0.5) ?? 0);
    const mean = d50.reduce((a, b) => a + b, 0) / 3;
    const sd = Math.sqrt(d50.reduce((s, v) => s + (v - mean) ** 2, 0) / 2);
    // t(0.975; 2) = 4.303 from tables.
    const reach = (4.302653 * sd) / Math.sqrt(3);
    expect(rows[0]).toEqual([
      "D50",
      `${figures(mean)} µm`,
      `${figures(mean - reach)}–${figures(mean + reach)}`,
      "2.50–3.50",
      "in band",
      "over 99 %",
    ]);
    expect(rows[1]?.[0]).toBe("Below 1 µm");
    expect(rows[1]?.[1]).toMatch(/^0\.\d+ %$/);
    expect(rows[1]?.[3]).toBe("at most 5.00");
    const one = table("Limits", { runs: runs.slice(0, 1) })?.rows[0];
    expect(one?.slice(2)).toEqual(["not known", "2.50–3.50", "too few runs", "not known"]);
    const open = sizeDistribution({
      quantity: "volume",
      lowerUm: [1, 2],
      upperUm: [2, 4],
      shares: [0.4, 0.5],
      aboveShare: 0.1,
    });
    const unseen = table("Limits", {
      runs: [{ file: null, name: "a", distribution: open }],
      band: { ...band, rows: [{ limit: "d99Um", low: 1, high: 9 }] },
    })?.rows[0];
    expect(unseen?.slice(1, 3)).toEqual(["not known", "not known"]);
  });
  test("sizes, means, span and area over the runs", () => {
    const rows = table("Sizes")?.rows ?? [];
    expect(rows.map(([name]) => name)).toEqual([
      "D10",
      "D25",
      "D50",
      "D75",
      "D90",
      "D97",
      "D[3,2]",
      "D[4,3]",
      "Span",
      "Geometric area",
    ]);
    const geometric = (of: (r: NamedMeasurement) => number | null) =>
      Math.exp(runs.reduce((sum, r) => sum + Math.log(of(r) ?? 1), 0) / 3);
    expect(rows[5]?.[1]).toBe(`${figures(geometric((r) => sizeAt(curveOf(r.distribution), 0.97)))} µm`);
    expect(rows[6]?.[1]).toBe(`${figures(geometric((r) => meanDiameterUm(r.distribution, 3, 2)))} µm`);
    expect(rows[7]?.[1]).toBe(`${figures(geometric((r) => meanDiameterUm(r.distribution, 4, 3)))} µm`);
    expect(rows[8]?.[1]).toMatch(/^1\.\d\d$/);
    expect(rows[9]?.[1]).toBe(
      `${figures(geometric((r) => geometricSurface(r.distribution, 4.55)?.m2PerG ?? null))} m²/g`,
    );
    for (const row of rows) expect(row[2]).toMatch(/^[\d.]+–[\d.]+$/);
    expect(table("Sizes", { runs: runs.slice(0, 1) })?.rows[2]?.[2]).toBe("not known");
  });
  test("each run by name, with its file where there are several", () => {
    const rows = table("Each run")?.rows ?? [];
    const at = (r: NamedMeasurement | undefined, q: number) =>
      r === undefined ? "" : figures(sizeAt(curveOf(r.distribution), q) ?? 0);
    expect(rows[1]).toEqual([
      "b",
      at(runs[1], 0.1),
      at(runs[1], 0.5),
      at(runs[1], 0.9),
      figures(meanDiameterUm(runs[1]?.distribution ?? powder(1).distribution, 3, 2) ?? 0),
      "120",
    ]);
    const two = [...runs.slice(0, 2), run(3.1, "d", "other.csv"), run(3.1, "e", null)];
    expect(sheet({ runs: two }).tables.find((t) => t.title.startsWith("Each"))?.title).toBe("Each run, µm");
    expect(
      sheet({ runs: two })
        .tables.find((t) => t.title.startsWith("Each"))
        ?.rows.map(([name]) => name),
    ).toEqual(["a (a)", "b (a)", "d (b)", "e"]);
    expect(sheet({ runs: two }).tables.find((t) => t.title.startsWith("Each"))?.foot).toBe(
      "a: lot.csv; b: other.csv",
    );
    expect(sheet({ runs: [run(3, "x", null)] }).tables.find((t) => t.title.startsWith("Each"))?.title).toBe(
      "Each run, µm",
    );
  });
  test("one run alone goes by its file too", () => {
    const alone = sheet({ runs: runs.slice(0, 1) }).tables.find((t) => t.title.startsWith("Each"));
    expect(alone?.title).toBe("Each run, µm (lot.csv)");
  });
  test("what the intervals are, and that one or two runs have none", () => {
    const line = (count: number) =>
      sheet({ runs: runs.slice(0, count) }).notes.find((n) => n.title === "Uncertainty")?.lines[0];
    expect(line(3)).toMatch(/^The intervals are 95 % intervals by Student's t over three runs/);
    expect(line(2)).toMatch(/^Two runs cannot show the run-to-run scatter/);
  });
  test("where the band and its limits come from", () => {
    const lines = sheet().notes.flatMap((n) => n.lines);
    expect(lines).toContain("Source of the band: five runs of a reference");
    expect(lines).toContain("D50: agreed with the user");
    expect(
      sheet({ band: null })
        .notes.flatMap((n) => n.lines)
        .join(),
    ).not.toContain("The band:");
  });
  test("other stages are drawn beside it where they have runs", () => {
    const drawn = (others: ReportQuestion["others"]) => sheet({ others }).svg.match(/<polyline/g)?.length;
    expect(drawn([])).toBe(1);
    expect(drawn([{ stage: "fired", runs: [run(9, "f")] }])).toBe(2);
    expect(drawn([{ stage: "fired", runs: [] }])).toBe(1);
  });
  test("no runs, or runs that cannot be counted by volume, have no sheet", () => {
    expect(() => sheet({ runs: [] })).toThrow(/runs/);
    const open = sizeDistribution({
      quantity: "number",
      lowerUm: [1, 2],
      upperUm: [2, 4],
      shares: [0.4, 0.5],
      aboveShare: 0.1,
    });
    expect(() => sheet({ runs: [{ file: null, name: "a", distribution: open }] })).toThrow(/volume/);
  });
});

test("the fines ledger on the sheet counts below 0.5, 1 and 2 µm", () => {
  const crushed = { stage: "crushed", runs: [run(8, "d"), run(8.1, "e"), run(8.2, "f")] } as const;
  const svg = sheet({ others: [crushed] }).ledger?.svg ?? "";
  expect([...svg.matchAll(/>&lt;([\d.]+)</g)].map(([, um]) => Number(um))).toEqual([0.5, 1, 2]);
});

test("what rests on other lots names them, on every level; what rests on none does not", () => {
  const kept = [4, 5, 6].map((shift) => [run(2.9 + shift / 100, "a"), run(2.95 + shift / 100, "b")]);
  const ground = "three lots of YAG, milled, on mill A";
  const said = (more: Partial<ReportQuestion>) =>
    sheet(more)
      .notes.flatMap((note) => note.lines)
      .join(" ");
  const sentence = `The chances and the pooled scatter rest on these runs and on ${ground}.`;
  for (const report of ["grade", "method", "full"] as const)
    expect(said({ kept, ground, report })).toContain(sentence);
  expect(said({ ground })).not.toContain("rest on these runs");
});
