import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { type BudgetAnswer, measurandNames } from "#model/answers/lot/budgetAnswer.ts";
import type { CheckAnswer } from "#model/answers/lot/checkAnswer.ts";
import { describeAnswer } from "#model/answers/lot/describeAnswer.ts";
import type { ReleaseAnswer } from "#model/answers/lot/releaseAnswer.ts";
import { conformanceText, runsGround, shareText } from "#model/answers/lot/releaseWords.ts";
import { isByClass, limitWords, statisticText } from "#model/band/limits.ts";
import type { OverRuns } from "#model/lot/overRuns.ts";
import { capital, chanceText, figures } from "#model/words/wording.ts";
import type { ReportTable } from "./report.ts";

/** Each limit of the band with its value, interval, verdict and chance. */
export function limitsTable(check: CheckAnswer): ReportTable {
  return {
    title: "Limits",
    heading: ["", "value", "95 % interval", "limits", "verdict", "probability of conformance"],
    rows: check.rows.map((row) => {
      const { name, unit, factor } = limitWords(row);
      const unknown = isByClass(row) ? "whole classes" : "not known";
      const show = (v: number | null) => (v === null ? "–" : figures(v * factor));
      return [
        name,
        row.value === null ? "not known" : `${show(row.value)} ${unit}`.trim(),
        row.interval === null ? unknown : `${show(row.interval.low)}–${show(row.interval.high)}`,
        statisticText(row, show),
        row.verdict,
        row.probability === null ? unknown : chanceText(row.probability),
      ];
    }),
  };
}

/** The two figures of the release, and both risks of each rule where the process is known. */
export function chancesTable({ fromRuns, asProcess, risks, of, scatterLots }: ReleaseAnswer): ReportTable {
  const none = "not known";
  // Columns of risks that nothing is known of would only push the table off the page.
  const riskCells = (cells: readonly string[]) => (risks === null ? [] : cells);
  return {
    title: "Probability of conformance, all limits together",
    heading: ["", "probability", ...riskCells(["released though out", "held though good"])],
    rows: [
      [
        `from ${runsGround(scatterLots)} (${of === "lot" ? "the whole lot" : "the powder measured"})`,
        conformanceText(fromRuns),
        ...riskCells(["", ""]),
      ],
      [
        "if made like the other lots",
        asProcess === null ? none : conformanceText(asProcess),
        ...riskCells(["", ""]),
      ],
      ...(risks ?? []).map((risk) => [
        `${risk.rule} rule, lots like the others`,
        "",
        shareText(risk.releasedThoughOut),
        shareText(risk.heldThoughGood),
      ]),
    ],
  };
}

/** What each result's uncertainty is made of, in per cent of the value. */
export function budgetTable({ budgets }: BudgetAnswer): ReportTable {
  const sources = [...new Set(budgets.flatMap((b) => b.contributions.map((c) => c.source)))];
  const percent = (ln: number | undefined) => (ln === undefined ? "not known" : `${figures(100 * ln, 2)} %`);
  return {
    title: "Uncertainty budget (JCGM 100)",
    heading: ["", "value", ...sources.map((source) => `u, ${source}`), "u together", "k", "U, 95 %"],
    rows: budgets.map((budget) => {
      const { name, unit } = measurandNames[budget.measurand];
      return [
        capital(name),
        `${figures(budget.value)} ${unit}`,
        ...sources.map((source) => percent(budget.contributions.find((c) => c.source === source)?.uLn)),
        percent(budget.uLn),
        figures(budget.coverageFactor),
        percent(budget.expandedLn),
      ];
    }),
  };
}

/** Percentiles, means and area over the runs, with 95 % intervals. */
export function sizesTable(runs: readonly NamedMeasurement[], densityGPerCm3: number): ReportTable {
  const [lot] = describeAnswer(runs, {
    percentiles: [10, 25, 50, 75, 90, 97],
    densityGPerCm3,
    lotsBy: "all",
  }).lots;
  const line = (name: string, over: OverRuns | undefined, unit: string): string[] => [
    name,
    over === undefined || over.value === null ? "not known" : `${figures(over.value)} ${unit}`.trim(),
    over?.low == null || over.high === null ? "not known" : `${figures(over.low)}–${figures(over.high)}`,
  ];
  return {
    title: "Sizes and area",
    heading: ["", "mean over the runs", "95 % interval"],
    rows: [
      ...Object.entries(lot?.percentilesUm ?? {}).map(([p, over]) => line(`D${p}`, over, "µm")),
      line("D[3,2]", lot?.meansUm["3,2"], "µm"),
      line("D[4,3]", lot?.meansUm["4,3"], "µm"),
      line("Span", lot?.span, ""),
      line("Geometric area", lot?.surfaceM2PerG, "m²/g"),
    ],
  };
}

/** D10, D50 and D90 of each run, with where it came from. */
export function runsTable(runs: readonly NamedMeasurement[]): ReportTable {
  const { measurements } = describeAnswer(runs, { percentiles: [10, 50, 90] });
  const show = (v: number | null | undefined) => (v == null ? "not known" : figures(v));
  const files = [...new Set(runs.map((run) => run.file))];
  const isOneFile = files.length < 2;
  // Files are named once, below the table; a letter says which, so that the table stays narrow.
  const letters = new Map(
    files.map((file, i) => [file, i < 26 ? String.fromCharCode(97 + i) : String(i + 1)]),
  );
  return {
    title: isOneFile && runs[0]?.file != null ? `Each run, µm (${runs[0].file})` : "Each run, µm",
    heading: ["run", "D10", "D50", "D90", "D[3,2]", "classes"],
    rows: measurements.map((m) => [
      isOneFile || m.file === null ? m.name : `${m.name} (${letters.get(m.file) ?? ""})`,
      show(m.percentilesUm["10"]),
      show(m.percentilesUm["50"]),
      show(m.percentilesUm["90"]),
      show(m.meansUm["3,2"]),
      String(m.shares.length),
    ]),
    ...(isOneFile
      ? {}
      : {
          foot: files
            .flatMap((file) => (file === null ? [] : `${letters.get(file) ?? ""}: ${file}`))
            .join("; "),
        }),
  };
}
