import { curveOf, meanCurve } from "#distributions/curve.ts";
import { DomainError } from "#distributions/domainError.ts";
import type { NamedMeasurement } from "#distributions/measured.ts";
import type { Band } from "#model/band/band.ts";
import { byVolume } from "#model/band/byVolume.ts";
import { limitWords } from "#model/band/limits.ts";
import { stageGap } from "#model/band/stageGap.ts";
import { finesBars } from "#model/pictures/finesBars.ts";
import { overlaySvg } from "#model/pictures/overlaySvg.ts";
import { pictureSvg } from "#model/pictures/pictureSvg.ts";
import type { OverRuns } from "#model/runs/overRuns.ts";
import { type Stage, stages } from "#model/stages.ts";
import { checkAnswer } from "./checkAnswer.ts";
import { checkWords, sentenceOf } from "./checkWords.ts";
import { describeAnswer } from "./describeAnswer.ts";
import { fitAnswer } from "./fitAnswer.ts";
import { howMeasuredText } from "./howMeasuredText.ts";
import type { ReportLevel } from "./reportLevels.ts";
import { rescueAnswer } from "./rescueAnswer.ts";
import { stagesAnswer } from "./stagesAnswer.ts";
import { gainLostSentence } from "./stagesWords.ts";
import { capital, chanceText, counted, figures, listed } from "./wording.ts";

/** What a sheet is about. */
export interface SheetAsked {
  readonly lotName: string;
  readonly material: string;
  readonly stage: string;
  readonly densityGPerCm3: number;
  readonly runs: readonly NamedMeasurement[];
  /** Mean curves of the lot's other stages are drawn beside it. */
  readonly others: readonly {
    readonly stage: string;
    readonly runs: readonly NamedMeasurement[];
    readonly massG?: number;
  }[];
  /** Grams of powder at the stage, where they were noted. */
  readonly massG?: number;
  readonly band: Band | null;
  readonly report: ReportLevel;
}

/** A table with its heading row. */
export interface SheetTable {
  readonly title: string;
  readonly heading: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** Everything that stands on one sheet but the hash, the version and the date, which the server adds. */
export interface Sheet {
  readonly title: string;
  readonly about: string;
  readonly verdict: string;
  readonly rule: string;
  readonly svg: string;
  /** The fines ledger as bars, in the full report of a lot whose other stages are known; else null. */
  readonly ledger: { readonly title: string; readonly sentence: string; readonly svg: string } | null;
  readonly tables: readonly SheetTable[];
  /** Titled paragraphs: method, fit, uncertainty, cautions. */
  readonly notes: readonly { readonly title: string; readonly lines: readonly string[] }[];
}

const ruleWords = {
  simple: "simple acceptance: the mean alone against the limits",
  "two-sided":
    "two-sided: in band only where the whole 95 % interval of the mean lies inside, out where it lies outside, else on the edge",
  guarded: "guarded: in band only where the whole 95 % interval of the mean lies inside, else out",
} as const;

/**
 * One sheet about a stage of a lot that a stranger can read: the verdict and its rule first, then the picture, the table,
 * and as much of method, fit and uncertainty as the report level asks.
 *
 * @throws DomainError  no runs, or runs that cannot be counted by volume
 * Source: three report levels after the idea of ASTM E1617 (from memory).
 */
export function sheetAnswer(asked: SheetAsked): Sheet {
  const { lotName, material, stage, densityGPerCm3, runs, others, band, report } = asked;
  if (runs.length === 0) throw new DomainError("runs", "must hold at least one", 0);
  const turned = byVolume(runs).runs;
  if (turned === null) throw new DomainError("runs", "must be known by volume", runs[0]?.name ?? "");
  const check = band === null ? null : checkAnswer(turned, band);
  const gap = band === null ? null : stageGap(stages.find((s) => s === stage) ?? null, band.stage);
  const drawn = (of: readonly NamedMeasurement[]) => meanCurve(of.map((m) => curveOf(m.distribution)));
  const beside = others.flatMap((o) => {
    const known = byVolume(o.runs).runs;
    return known === null || known.length === 0 ? [] : [{ name: o.stage, curve: drawn(known) }];
  });
  const rescue = band === null || gap !== null ? null : rescueAnswer(turned, band);
  return {
    title: `${lotName}, ${stage}`,
    about: `${material === "" ? "" : `${material}, `}density ${figures(densityGPerCm3)} g/cm³; ${counted(runs.length, "run")}.`,
    verdict:
      check === null
        ? "No target band was given, so nothing is judged."
        : `${sentenceOf(checkWords(check, gap))}${rescue === null ? "" : ` ${rescue.sentence}`}`,
    rule:
      check === null || band === null
        ? ""
        : `Band ${band.name} for ${band.stage === "" ? "any stage" : band.stage} powder, limits by volume. Decision rule ${ruleWords[check.rule]}.`,
    svg: overlaySvg({ name: stage, curve: drawn(turned) }, beside, band?.envelope ?? null),
    ledger: report === "full" ? ledgerOf(asked) : null,
    tables: [
      ...(check === null ? [] : [limitsTable(check)]),
      ...(report === "full" ? [runsTable(turned)] : []),
      ...(report === "grade" ? [] : [sizesTable(turned, densityGPerCm3)]),
    ],
    notes: notesOf(asked, turned),
  };
}

const ledgerWidth = 520;
const ledgerHeight = 230;

/** What each step did to the fines, stage by stage in the order of the process. */
function ledgerOf({ stage, runs, massG, others }: SheetAsked): Sheet["ledger"] {
  const own = massG === undefined ? { stage, runs } : { stage, runs, massG };
  const line = stages.flatMap((s) => [own, ...others].filter((o) => o.stage === s && s !== "reference"));
  const known = line.filter((o) => o.runs.length > 0 && byVolume(o.runs).runs !== null);
  if (known.length < 2) return null;
  // Humps are the slow part, and no part of the ledger.
  const told = stagesAnswer(
    known.map((o) => ({ ...o, humps: null })),
    { belowUm: [0.5, 1, 2] },
  );
  const sentence =
    told.gainLost === null
      ? ""
      : gainLostSentence(
          told.gainLost,
          known.map((o) => o.stage),
        );
  const picture = finesBars(told.steps, {
    name: "Fines that each step made or took away",
    width: ledgerWidth,
    height: ledgerHeight,
  });
  return picture === null ? null : { title: "Fines ledger", sentence, svg: pictureSvg(picture) };
}

function limitsTable(check: ReturnType<typeof checkAnswer>): SheetTable {
  return {
    title: "Limits",
    heading: ["", "value", "95 % interval", "limits", "verdict", "chance of being in"],
    rows: check.rows.map((row) => {
      const { name, unit, factor } = limitWords(row);
      const show = (v: number | null) => (v === null ? "–" : figures(v * factor));
      return [
        name,
        row.value === null ? "not known" : `${show(row.value)} ${unit}`.trim(),
        row.interval === null ? "not known" : `${show(row.interval.low)}–${show(row.interval.high)}`,
        `${show(row.low)} … ${show(row.high)}`,
        row.verdict,
        row.probability === null ? "not known" : chanceText(row.probability),
      ];
    }),
  };
}

function sizesTable(runs: readonly NamedMeasurement[], densityGPerCm3: number): SheetTable {
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
    heading: ["", "over the runs", "95 % interval"],
    rows: [
      ...Object.entries(lot?.percentilesUm ?? {}).map(([p, over]) => line(`D${p}`, over, "µm")),
      line("D[3,2]", lot?.meansUm["3,2"], "µm"),
      line("D[4,3]", lot?.meansUm["4,3"], "µm"),
      line("Span", lot?.span, ""),
      line("Geometric area", lot?.surfaceM2PerG, "m²/g"),
    ],
  };
}

function runsTable(runs: readonly NamedMeasurement[]): SheetTable {
  const { measurements } = describeAnswer(runs, { percentiles: [10, 50, 90] });
  const show = (v: number | null | undefined) => (v == null ? "not known" : figures(v));
  const isOneFile = new Set(runs.map((run) => run.file)).size < 2;
  return {
    title: isOneFile && runs[0]?.file != null ? `Each run, µm (${runs[0].file})` : "Each run, µm",
    heading: ["run", "D10", "D50", "D90", "D[3,2]", "classes"],
    rows: measurements.map((m, i) => [
      isOneFile || m.file === null ? m.name : `${m.name} (${m.file})`,
      show(m.percentilesUm["10"]),
      show(m.percentilesUm["50"]),
      show(m.percentilesUm["90"]),
      show(m.meansUm["3,2"]),
      String(runs[i]?.distribution.shares.length ?? 0),
    ]),
  };
}

function notesOf(asked: SheetAsked, runs: readonly NamedMeasurement[]): Sheet["notes"] {
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
      "What is judged is the mean over the runs.",
      howMeasuredText(runs),
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
  if (report === "method") return [method, uncertainty, cautions];
  const fit = {
    title: "Fit",
    lines: [
      fitAnswer(runs, { families: ["log-normal", "rosin-rammler"] }).sentence,
      "Unweighted least squares of the undersize at the class edges (ISO 9276-3).",
    ],
  };
  const limits = (band?.rows ?? []).flatMap((row) =>
    row.source === undefined ? [] : [`${limitWords(row).name}: ${row.source}`],
  );
  const origin = limits.length === 0 ? [] : [{ title: "How the limits came about", lines: limits }];
  return [method, uncertainty, fit, ...origin, cautions];
}

/** A stage's name when none is asked for: the last that has runs. */
export function lastStage(runsByStage: readonly { readonly stage: Stage }[]): Stage | null {
  const known = stages.filter((s) => s !== "reference" && runsByStage.some((r) => r.stage === s));
  return known.at(-1) ?? runsByStage[0]?.stage ?? null;
}
