import { curveOf } from "#distributions/curve.ts";
import { DomainError } from "#distributions/domainError.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import {
  type Band,
  type BandRow,
  type DecisionRule,
  judgedEnvelope,
  type Outside,
  type RowCheck,
  type Verdict,
} from "#model/band/band.ts";
import { envelopeVerdict, stretchesOutside } from "#model/band/envelopeVerdict.ts";
import { judge, judgeByClass, overall } from "#model/band/judge.ts";
import { isByClass, limitValue, nameInside, rowKey } from "#model/band/limits.ts";
import { otherOrigin } from "#model/band/otherOrigin.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { placesOfOwnRuns } from "#model/lot/copies.ts";
import { minRuns } from "#model/lot/intervals.ts";
import { type Lumps, lumpsOf } from "#model/lot/lumps.ts";
import { capital, counted, listed } from "#model/words/wording.ts";
import type { ReleaseAnswer } from "./releaseAnswer.ts";
import { sentenceOf, verdictWords } from "./verdictSentence.ts";

/** A row without its chance, which the release gives. */
type JudgedRow = Omit<RowCheck, "probability">;

export interface CheckAnswer {
  readonly verdict: Verdict;
  readonly rule: DecisionRule;
  readonly runs: number;
  readonly rows: readonly RowCheck[];
  readonly outside: readonly Outside[];
  /** Where the runs state another instrument or reference drum than the band is tied to; absent where they do not. */
  readonly origin?: readonly string[];
  /** Powder apart from the main powder and coarser; absent where there is none. */
  readonly lumps?: Lumps;
  readonly sentence: string;
  readonly problems: readonly Problem[];
}

/**
 * A lot against its band; all measurements are runs of one lot, and what is judged is the mean over runs, by volume.
 *
 * @param options  release: how likely the lot conforms, where that was worked out; no row has a chance without it
 * @throws DomainError  no measurements
 * Source: docs/science.md.
 */
export function checkAnswer(
  measurements: readonly NamedMeasurement[],
  band: Band,
  options: {
    readonly rule?: DecisionRule | undefined;
    readonly release?: ReleaseAnswer | null;
  } = {},
): CheckAnswer {
  if (measurements.length === 0) throw new DomainError("measurements", "must hold at least one run", 0);
  const rule = options.rule ?? band.rule;
  const { runs: converted, problems: ofConversion } = byVolume(measurements);
  const { runs, problems: ofCopies } = withoutCopies(converted);
  const many = runs?.length ?? measurements.length;
  const checked = band.rows.map((row) =>
    runs === null ? { row: unjudged(row), problems: [] } : checkRow(row, runs, band, rule),
  );
  const rows = checked.map(({ row }) => ({ ...row, probability: chanceOf(row, options.release ?? null) }));
  const curves = (runs ?? []).map((m) => curveOf(m.distribution));
  const envelope = judgedEnvelope(band);
  const isCurveJudged = envelope !== null && runs !== null;
  const outside = isCurveJudged ? stretchesOutside(curves, envelope, rule) : [];
  const verdicts = [...rows, ...outside].map(({ verdict }) => verdict);
  if (isCurveJudged) verdicts.push(envelopeVerdict(curves, envelope, rule));
  const origin = otherOrigin(measurements, band);
  const lumps = curves.length === 0 ? null : lumpsOf(curves);
  const found = {
    verdict: verdicts.length === 0 ? ("too few runs" as const) : overall(verdicts),
    runs: many,
    rows,
    outside,
    ...(origin.length === 0 ? {} : { origin }),
    ...(lumps === null ? {} : { lumps }),
    problems: [
      ...ofConversion,
      ...ofCopies,
      ...checked.flatMap(({ problems }) => problems),
      ...emptyBand(band),
      ...tooFewRuns(rows, many),
    ],
  };
  return { ...found, rule, sentence: sentenceOf(verdictWords(found)) };
}

function chanceOf(row: JudgedRow, release: ReleaseAnswer | null): number | null {
  const place = release?.judged.indexOf(rowKey(row)) ?? -1;
  return release?.fromRuns.rows[place] ?? null;
}

/** The runs that count, and a note where one does not. */
function withoutCopies(runs: readonly NamedMeasurement[] | null): {
  readonly runs: readonly NamedMeasurement[] | null;
  readonly problems: readonly Problem[];
} {
  if (runs === null) return { runs, problems: [] };
  const places = placesOfOwnRuns(runs.map((m) => curveOf(m.distribution)));
  if (places.length === runs.length) return { runs, problems: [] };
  const copies = runs.filter((_, i) => !places.includes(i)).map((m) => m.name);
  const found = `${listed(copies)} ${copies.length === 1 ? "repeats" : "repeat"} another run or the mean of the others`;
  return {
    runs: places.flatMap((i) => runs[i] ?? []),
    problems: [
      problem(
        "note",
        `${found}. A copy is not a measurement and says nothing about the run-to-run scatter. ${capital(counted(places.length, "run"))} ${places.length === 1 ? "was" : "were"} judged.`,
        { measurement: copies[0] ?? null, found, expected: "runs measured each by itself" },
      ),
    ],
  };
}

function emptyBand(band: Band): Problem[] {
  if (band.rows.length > 0 || judgedEnvelope(band) !== null) return [];
  return [
    problem(
      "refused",
      "The band has neither limits nor an envelope, so the lot cannot be judged. Add a limit or an envelope to the band.",
      { expected: "limits or an envelope" },
    ),
  ];
}

function tooFewRuns(rows: readonly JudgedRow[], runs: number): Problem[] {
  const scattering = rows.filter((row) => row.value !== null && !isByClass(row));
  if (runs >= minRuns || scattering.every((row) => row.interval !== null)) return [];
  return [
    problem(
      "note",
      `${capital(counted(runs, "run"))} cannot show the run-to-run scatter, so no interval is given where no repeatability is agreed. At least three runs are needed.`,
      {
        found: counted(runs, "run"),
        expected: "three runs or more",
        effect: "a number stays unknown",
      },
    ),
  ];
}

/** A row that cannot be read can neither pass nor fail: more must be measured, so it counts as too few runs. */
function unjudged(row: BandRow): JudgedRow {
  return { ...limitsOf(row), value: null, interval: null, verdict: "too few runs" };
}

function limitsOf({
  limit,
  sizeUm,
  low,
  high,
}: BandRow): Pick<RowCheck, "limit" | "sizeUm" | "low" | "high"> {
  return { limit, ...(sizeUm === undefined ? {} : { sizeUm }), low, high };
}

function checkRow(
  row: BandRow,
  measurements: readonly NamedMeasurement[],
  band: Band,
  rule: DecisionRule,
): { readonly row: JudgedRow; readonly problems: readonly Problem[] } {
  const values = measurements.map((m) => limitValue(row, m.distribution, band));
  const missing = measurements.filter((_, i) => values[i] === null);
  const [first] = missing;
  if (first !== undefined)
    return {
      row: unjudged(row),
      problems: [
        problem(
          "refused",
          `${capital(nameInside(row))} is not known for ${listed(missing.map((m) => m.name))}: it lies outside the measured range, or the density is missing. Measure a wider size range, give the density, or delete this limit from the band.`,
          { measurement: first.name, found: "no value", expected: row.limit },
        ),
      ],
    };
  const known = values.filter((v) => v !== null);
  return {
    row: { ...limitsOf(row), ...(isByClass(row) ? judgeByClass : judge)(known, row, rule) },
    problems: [],
  };
}
