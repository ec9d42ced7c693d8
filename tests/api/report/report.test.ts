import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { readTable } from "#distributions/tables/readTable.ts";
import { reportAnswer } from "#model/answers/report/reportAnswer.ts";
import type { ReportLevel } from "#model/answers/report/reportLevels.ts";
import { surfaceAnswer } from "#model/answers/surface/surfaceAnswer.ts";
import { readBand } from "#model/band/bandFile.ts";
import { reportHtml } from "../../../api/report/reportHtml.ts";

const sample = (path: string) =>
  readFileSync(new URL(`../../../distributions/samples/${path}`, import.meta.url), "utf8");
const runsOf = (stage: string) =>
  readTable(sample(`lots/garnet-07/${stage}.csv`), `${stage}.csv`, {}).measurements;
const { band } = readBand(sample("bands/garnet-target.json"), null);

const pairs = [1.2, 1.25, 1.3].map((ratio) => ({
  stage: "re-fired",
  geometricM2PerG: 0.45,
  betM2PerG: 0.45 * ratio,
}));
const { ahead } = surfaceAnswer(runsOf("re-fired"), { densityGPerCm3: 4.55, pairs, stage: "re-fired" });

function made(report: ReportLevel, lotName = "lot 07", ofBand = band) {
  const sheet = reportAnswer({
    lotName,
    material: "garnet",
    stage: "re-fired",
    densityGPerCm3: 4.55,
    runs: runsOf("re-fired"),
    others: [{ stage: "milled", runs: runsOf("milled") }],
    band: ofBand,
    ahead,
    report,
  });
  return reportHtml(sheet, { hash: "abc123", version: "0.1.0", report, keptOn: "2026-01-02" });
}

describe("the one sheet", () => {
  test("grade tells verdict, rule, picture, limits and cautions, and nothing of the fit", () => {
    const html = made("grade");
    expect(html).toMatch(/In band, six runs/);
    expect(html).toMatch(/Decision rule two-sided/);
    expect(html).toMatch(/<svg[^>]*role="img"/);
    expect(html).toMatch(/an occupational hygienist assesses the respirable share/);
    expect(html).not.toMatch(/>Fit<|>Method<|>Each run/);
  });
  test("method and full each add to the one before", () => {
    expect(made("method")).toMatch(/>Method<[\s\S]*>Uncertainty</);
    expect(made("method")).not.toMatch(/>Fit</);
    const full = made("full");
    for (const part of ["Method", "Uncertainty", "Fit", "Each run, µm (re-fired.csv)", "Notes on use"])
      expect(full).toContain(`>${part}<`);
    expect(full).toContain("SHA-256 of all it rests on: abc123");
    expect(full).toContain("Fineband 0.1.0");
  });
  test("the full report has the fines ledger as bars where another stage is known, with grams where masses are", () => {
    expect(made("full")).toMatch(/>Fines balance<[\s\S]*milled → re-fired/);
    expect(made("method")).not.toMatch(/Fines balance/);
    const asked = {
      lotName: "l",
      material: "",
      densityGPerCm3: 4.55,
      band: null,
      ahead: null,
      report: "full",
    } as const;
    const alone = reportAnswer({ ...asked, stage: "milled", runs: runsOf("milled"), others: [] });
    expect(alone.ledger).toBeNull();
    const weighed = reportAnswer({
      ...asked,
      stage: "re-fired",
      runs: runsOf("re-fired"),
      massG: 480,
      others: [{ stage: "milled", runs: runsOf("milled"), massG: 500 }],
    });
    expect(weighed.ledger?.svg).toMatch(/>−[\d.]+ g</);
  });
  test("method and full say which BET area to expect, how surely and from how many pairs", () => {
    const words =
      /The predicted BET area is [\d.]+ m²\/g \([\d.]+–[\d.]+ in 95 % of cases; three pairs, ratio\)/;
    expect(made("grade")).not.toMatch(/BET/);
    expect(made("method")).toMatch(words);
    expect(made("full")).toMatch(words);
  });
  test("it is one file: no script, nothing fetched, and no colour that means anything", () => {
    const html = made("full");
    expect(html).not.toMatch(/<script|<link|<img|url\(|https?:(?!\/\/www\.w3\.org)/);
    const greys = [...html.matchAll(/#([0-9a-f]{3}|[0-9a-f]{6})\b/g)].map((m) => m[1] ?? "");
    for (const ink of greys)
      expect(new Set(ink.length === 3 ? ink : (ink.match(/../g) ?? [])).size, ink).toBe(1);
  });
  test("names are written as text, whatever they hold", () => {
    expect(made("grade", '<b>&"lot"')).toContain("&lt;b&gt;&amp;&quot;lot&quot;");
  });
  test("without a band nothing is judged; the same asked twice is the same sheet, within a second", () => {
    expect(made("full", "lot", null)).toMatch(/The lot has no target band, so it is not judged/);
    const begun = performance.now();
    const first = made("full");
    expect(performance.now() - begun).toBeLessThan(8000);
    expect(made("full")).toBe(first);
  });
});
