import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { fitAnswer } from "#model/answers/lot/fitAnswer.ts";
import { predictedBetSentence } from "#model/answers/surface/predictedBetWords.ts";
import { limitWords } from "#model/band/limits.ts";
import { capital, counted, listed } from "#model/words/wording.ts";
import { metadataText } from "./metadataText.ts";
import type { Report, ReportQuestion } from "./report.ts";

/** What stands beside the tables, in titled paragraphs: as much of it as the report level asks. */
export function notesOf(asked: ReportQuestion, runs: readonly NamedMeasurement[]): Report["notes"] {
  const { report, band } = asked;
  const cautions = {
    title: "Read with care",
    lines: [
      "Figures are about this powder, not about the air: the respirable share is a matter for a hygienist.",
      "They hold for the portion measured; how the lot was sampled is not part of them.",
      "Local codes, the safety data sheet and the machine's manual come first.",
    ],
  };
  if (report === "grade") return [cautions];
  const rules = [...new Set(runs.map((m) => m.distribution.inClass))];
  const method = {
    title: "Method",
    lines: [
      `Undersize by volume, exact at the class edges and straight in ln size between them; means and area with the in-class rule ${listed(rules)} (ISO 9276-1, ISO 9276-2).`,
      "What is judged is the plain mean over the runs; sizes and area in their table are geometric means.",
      metadataText(runs),
      ...(band?.source === undefined ? [] : [`The band: ${band.source}`]),
    ],
  };
  const uncertainty = {
    title: "Uncertainty",
    lines: [
      runs.length < 3
        ? `${capital(counted(runs.length, "run"))} cannot show how runs spread, so there is no interval but from an agreed repeatability.`
        : `Intervals are Student's t at 95 % over ${counted(runs.length, "run")} (JCGM 100, annex G): repeatability only. Sampling, instrument and optical model are not in them.`,
    ],
  };
  const surface =
    asked.ahead === null ? [] : [{ title: "BET area to expect", lines: [predictedBetSentence(asked.ahead)] }];
  if (report === "method") return [method, uncertainty, ...surface, cautions];
  const fit = {
    title: "Fit",
    lines: [
      fitAnswer(runs).sentence,
      "Unweighted least squares of the undersize at the class edges (ISO 9276-3).",
    ],
  };
  const limits = (band?.rows ?? []).flatMap((row) =>
    row.source === undefined ? [] : [`${limitWords(row).name}: ${row.source}`],
  );
  const origin = limits.length === 0 ? [] : [{ title: "How the limits came about", lines: limits }];
  return [method, uncertainty, ...surface, fit, ...origin, cautions];
}
