import { curveOf } from "#distributions/curve.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { CheckAnswer } from "#model/answers/lot/checkAnswer.ts";
import { type Band, judgedEnvelope } from "#model/band/band.ts";
import { envelopeVerdict } from "#model/band/envelopeVerdict.ts";
import { nameInside } from "#model/band/limits.ts";
import { writtenDay } from "#model/words/days.ts";
import { capital, counted, countWord, listed } from "#model/words/wording.ts";
import { metadataText } from "./metadataText.ts";
import type { MeasuredResult, Report, ReportQuestion, ReportTable } from "./report.ts";
import { limitsTable } from "./reportTables.ts";

/**
 * The report that goes to a customer: who tested what for whom, when, by which method, each result with its interval
 * against the limits agreed, and room to sign; nothing of what the maker would do next or of other lots.
 *
 * @param runs   those of the question, by volume
 * @param check  of them against the band, without other lots; null where there is no band for this stage
 * Source: what a test report holds after ISO/IEC 17025:2017, 7.8.2 and 7.8.6 (from memory).
 */
export function testReport(
  asked: ReportQuestion,
  runs: readonly NamedMeasurement[],
  { check, rule, svg }: { readonly check: CheckAnswer | null; readonly rule: string; readonly svg: string },
): Report {
  const { lotName, material, stage, parties = {}, days = {}, measured = [], band } = asked;
  const facts = [
    ...(parties.issuer === undefined ? [] : [`Issued by ${parties.issuer}`]),
    ...(parties.customer === undefined ? [] : [`for ${parties.customer}`]),
  ].join(" ");
  const made = days.made === undefined ? [] : [`made ${writtenDay(days.made)}`];
  const tested = days.measured === undefined ? [] : [`measured ${writtenDay(days.measured)}`];
  return {
    title: `Test report: ${lotName}, ${stage}`,
    about: [
      facts,
      capital(material === "" ? "powder" : material),
      capital([...made, ...tested].join(", ")),
      capital(counted(runs.length, "run")),
    ]
      .filter((part) => part !== "")
      .join(". ")
      .concat("."),
    verdict: check === null || band === null ? "No limits were agreed." : conformity(check, band, runs),
    rule,
    svg,
    ledger: null,
    tables: [
      ...(check === null ? [] : [resultsTable(check)]),
      ...(measured.length === 0 ? [] : [others(measured)]),
    ],
    notes: [
      {
        title: "Method",
        lines: [
          "Undersize by volume, exact at the class edges and interpolated linearly in ln size between them (ISO 9276-1, ISO 9276-2).",
          metadataText(runs),
        ],
      },
      {
        title: "Uncertainty",
        lines: [
          "The intervals are 95 % intervals by Student's t over the runs. They include repeatability only, not sampling, instrument or optical model.",
          "The results are those of the powder measured.",
        ],
      },
      {
        title: "Notes on use",
        lines: ["The safety data sheet and local codes take precedence when the powder is handled."],
      },
    ],
    signatures: ["Tested by", "Approved for issue by"],
  };
}

/** "Six of seven limits are met. Not met: D90. Too close to its limit to call: D50." */
function conformity(check: CheckAnswer, band: Band, runs: readonly NamedMeasurement[]): string {
  const envelope = judgedEnvelope(band);
  const curves = runs.map((run) => curveOf(run.distribution));
  const judged = [
    ...check.rows.map((row) => ({ name: nameInside(row), verdict: row.verdict })),
    ...(envelope === null
      ? []
      : [{ name: "the curve", verdict: envelopeVerdict(curves, envelope, check.rule) }]),
  ];
  const named = (verdict: string) => judged.filter((one) => one.verdict === verdict).map(({ name }) => name);
  const [met, out, edge, few] = [
    named("in band"),
    named("out of band"),
    named("on the edge"),
    named("too few runs"),
  ];
  const all = counted(judged.length, "limit");
  const metWord = met.length === 0 ? "none" : countWord(met.length);
  const lead =
    met.length < judged.length
      ? `${capital(metWord)} of ${all} ${met.length < 2 ? "is" : "are"} met`
      : judged.length === 1
        ? "The limit is met"
        : `All ${all} are met`;
  return [
    `${lead}.`,
    ...(out.length === 0 ? [] : [`Not met: ${listed(out)}.`]),
    ...(edge.length === 0 ? [] : [`Too close to a limit to call: ${listed(edge)}.`]),
    ...(few.length === 0 ? [] : [`Not decided, too few runs: ${listed(few)}.`]),
  ].join(" ");
}

/** The limits with their results, without chances: a customer reads the verdict by the rule that was agreed. */
function resultsTable(check: CheckAnswer): ReportTable {
  const { heading, rows } = limitsTable(check);
  return { title: "Results", heading: heading.slice(0, 5), rows: rows.map((row) => row.slice(0, 5)) };
}

function others(measured: readonly MeasuredResult[]): ReportTable {
  return {
    title: "Other results",
    heading: ["", "result", "standard uncertainty", "method"],
    rows: measured.map(({ name, value, unit, uncertainty, method }) => [
      capital(name),
      `${value} ${unit}`.trim(),
      uncertainty === null ? "not stated" : `${uncertainty} ${unit}`.trim(),
      method ?? "not stated",
    ]),
  };
}
