import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { BudgetAnswer } from "#model/answers/lot/budgetAnswer.ts";
import { fitAnswer } from "#model/answers/lot/fitAnswer.ts";
import type { ReleaseAnswer } from "#model/answers/lot/releaseAnswer.ts";
import { predictedBetSentence } from "#model/answers/surface/predictedBetWords.ts";
import { limitWords } from "#model/band/limits.ts";
import { capital, counted, inReportWords, listed } from "#model/words/wording.ts";
import { metadataText } from "./metadataText.ts";
import type { Report, ReportQuestion } from "./report.ts";

/** What stands beside the tables, in titled paragraphs: as much of it as the report level asks. */
export function notesOf(
  asked: ReportQuestion,
  runs: readonly NamedMeasurement[],
  { release, budget }: { readonly release: ReleaseAnswer | null; readonly budget: BudgetAnswer | null },
): Report["notes"] {
  const { report, band } = asked;
  const cautions = {
    title: "Notes on use",
    lines: [
      "The results describe this powder, not the air at the workplace: an occupational hygienist assesses the respirable share.",
      release?.of === "lot"
        ? "The probability of conformance is of the lot; the intervals in the tables are of the portions measured."
        : "The results are those of the powder measured; how well it stands for the lot is not included.",
      "Local codes, the safety data sheet and the machine's manual take precedence.",
    ],
  };
  const chanceGround = chanceGroundText(asked, release);
  if (report === "grade")
    return [
      { ...cautions, lines: [...(chanceGround === "" ? [] : [chanceGround.trim()]), ...cautions.lines] },
    ];
  const rules = [...new Set(runs.map((m) => m.distribution.inClass))];
  const method = {
    title: "Method",
    lines: [
      `Undersize by volume, exact at the class edges and interpolated linearly in ln size between them; means and area use the in-class rule ${listed(rules)} (ISO 9276-1, ISO 9276-2).`,
      "The verdict uses the arithmetic mean over the runs; the table of sizes and area gives geometric means.",
      metadataText(runs),
      ...(band?.source === undefined ? [] : [`Source of the band: ${band.source}`]),
    ],
  };
  const uncertainty = {
    title: "Uncertainty",
    lines: [
      runs.length < 3
        ? `${capital(counted(runs.length, "run"))} cannot show the run-to-run scatter, so the only intervals are those of an agreed repeatability.${chanceGround}`
        : `The intervals are 95 % intervals by Student's t over ${counted(runs.length, "run")} (JCGM 100, annex G). They include repeatability only, not sampling, instrument or optical model.${chanceGround}`,
      ...(budget === null ? [] : [notInBudget(budget)]),
      ...(release?.notes ?? []).map(inReportWords),
    ],
  };
  const surface =
    asked.ahead === null
      ? []
      : [
          {
            title: "Predicted BET area",
            lines: [`${predictedBetSentence(asked.ahead)}${pairsGroundText(asked)}`],
          },
        ];
  if (report === "method") return [method, uncertainty, ...surface, cautions];
  const fit = {
    title: "Fit",
    lines: [
      fitAnswer(runs).sentence,
      "Fitted by unweighted least squares to the undersize at the class edges (ISO 9276-3).",
    ],
  };
  const limits = (band?.rows ?? []).flatMap((row) =>
    row.source === undefined ? [] : [`${limitWords(row).name}: ${row.source}`],
  );
  const origin = limits.length === 0 ? [] : [{ title: "Source of the limits", lines: limits }];
  return [method, uncertainty, ...surface, fit, ...origin, cautions];
}

/** What U of the budget leaves out. */
function notInBudget({ budgets }: BudgetAnswer): string {
  const unknown = [...new Set(budgets.flatMap((budget) => budget.notKnown))];
  return unknown.length === 0
    ? "The uncertainty budget holds every source named in it."
    : `The uncertainty budget leaves out what nothing is known of: ${listed(unknown)}.`;
}

/** Whose lots the chances and the scatter rest on, to stand behind a sentence; empty where on none but these runs. */
function chanceGroundText({ ground }: ReportQuestion, release: ReleaseAnswer | null): string {
  if (ground === undefined || release === null || release.keptLots === 0) return "";
  return ` The chances and the pooled scatter rest on these runs and on ${ground}.`;
}

/** Where the pairs behind the BET area come from; empty where there are none. */
function pairsGroundText({ ground, pairsFrom, ahead }: ReportQuestion): string {
  if (pairsFrom === undefined || ahead === null || ahead.basis === "guess") return "";
  const { lots, typed } = pairsFrom;
  const from = [
    ...(lots > 0 && ground !== undefined ? [`${counted(lots, "pair")} of ${ground}`] : []),
    ...(typed > 0 ? [`${counted(typed, "pair")} typed by hand`] : []),
  ];
  return from.length === 0 ? "" : ` It rests on ${listed(from)}.`;
}
