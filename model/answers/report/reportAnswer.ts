import { curveOf, meanCurve } from "#distributions/curve.ts";
import { DomainError } from "#distributions/domainError.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { budgetAnswer } from "#model/answers/lot/budgetAnswer.ts";
import { type CheckAnswer, checkAnswer } from "#model/answers/lot/checkAnswer.ts";
import { releaseCheck } from "#model/answers/lot/releaseCheck.ts";
import { sizeShiftAnswer } from "#model/answers/lot/sizeShiftAnswer.ts";
import { sentenceOf, verdictWords } from "#model/answers/lot/verdictSentence.ts";
import type { Band } from "#model/band/band.ts";
import { stageGap } from "#model/band/stageGap.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { type Stage, stages } from "#model/lot/stages.ts";
import { overlaySvg } from "#model/pictures/overlaySvg.ts";
import { counted, figures, inReportWords } from "#model/words/wording.ts";
import type { Report, ReportQuestion } from "./report.ts";
import { finesBalanceOf } from "./reportFines.ts";
import { notesOf } from "./reportNotes.ts";
import { budgetTable, chancesTable, limitsTable, runsTable, sizesTable } from "./reportTables.ts";
import { testReport } from "./testReport.ts";

const ruleWords = {
  simple: "simple: the mean alone is compared with the limits",
  "two-sided":
    "two-sided: in band if the whole 95 % interval of the mean lies within the limits, out of band if it lies outside, otherwise on the edge",
  guarded:
    "guarded: in band if the whole 95 % interval of the mean lies within the limits, otherwise out of band",
} as const;

/**
 * One sheet about a stage of a lot that a stranger can read: the verdict and its rule first, then the picture, the table,
 * and as much of method, fit and uncertainty as the report level asks.
 *
 * @throws DomainError  no runs, or runs that cannot be counted by volume
 * Source: three report levels after the idea of ASTM E1617 (from memory).
 */
export function reportAnswer(asked: ReportQuestion): Report {
  const { lotName, material, stage, densityGPerCm3, runs, others, band, report } = asked;
  if (runs.length === 0) throw new DomainError("runs", "must hold at least one", 0);
  const turned = byVolume(runs).runs;
  if (turned === null) throw new DomainError("runs", "must be known by volume", runs[0]?.name ?? "");
  const kept = asked.kept ?? [];
  const check = band === null ? null : releaseCheck(turned, band, { kept });
  const gap = band === null ? null : stageGap(stages.find((s) => s === stage) ?? null, band.stage);
  const drawn = (of: readonly NamedMeasurement[]) => meanCurve(of.map((m) => curveOf(m.distribution)));
  const beside = others.flatMap((o) => {
    const known = byVolume(o.runs).runs;
    return known === null || known.length === 0 ? [] : [{ name: o.stage, curve: drawn(known) }];
  });
  const shift = band === null || gap !== null ? null : sizeShiftAnswer(turned, band, { kept });
  const release = gap === null ? (check?.release ?? null) : null;
  const rule = check === null || band === null ? "" : ruleText(check, band);
  if (report === "customer") {
    // Neither other stages nor other lots are the customer's.
    const own = band === null || gap !== null ? null : checkAnswer(turned, band);
    const svg = overlaySvg({ name: stage, curve: drawn(turned) }, [], band?.envelope ?? null);
    return testReport(asked, turned, { check: own, rule: own === null ? "" : rule, svg });
  }
  const budget = budgetAnswer(turned, { densityGPerCm3, kept, checks: asked.checks ?? [] });
  return {
    title: `${lotName}, ${stage}`,
    about: `${material === "" ? "" : `${material}, `}density ${figures(densityGPerCm3)} g/cm³; ${counted(runs.length, "run")}.`,
    verdict:
      check === null
        ? "The lot has no target band, so it is not judged."
        : inReportWords(
            [sentenceOf(verdictWords(check, gap)), release?.sentence ?? "", shift?.sentence ?? ""]
              .filter((part) => part !== "")
              .join(" "),
          ),
    rule,
    svg: overlaySvg({ name: stage, curve: drawn(turned) }, beside, band?.envelope ?? null),
    ledger: report === "full" ? finesBalanceOf(asked) : null,
    // In this order they stand beside one another on paper, and all of a lot is on one page.
    tables: [
      ...(check === null ? [] : [limitsTable(check)]),
      ...(report === "full" ? [runsTable(turned)] : []),
      ...(release === null || report === "grade" ? [] : [chancesTable(release)]),
      ...(report === "grade" ? [] : [sizesTable(turned, densityGPerCm3)]),
      ...(budget === null || report === "grade" ? [] : [budgetTable(budget)]),
    ],
    notes: notesOf(asked, turned, { release, budget }),
  };
}

function ruleText(check: CheckAnswer, band: Band): string {
  const of = band.stage === "" ? "powder of any stage" : `${band.stage} powder`;
  const shown =
    band.envelope !== null && band.envelopeUse === "shown"
      ? " The band of the curve is drawn only, not judged."
      : "";
  return `Band ${band.name} for ${of}; limits by volume. Decision rule ${ruleWords[check.rule]}.${shown}`;
}

/** The stage that is meant when none is asked for: the last. @param measured  those with runs, in the order of the process */
export function lastStage(measured: readonly { readonly stage: Stage }[]): Stage | null {
  return (measured.findLast(({ stage }) => stage !== "reference") ?? measured[0])?.stage ?? null;
}
