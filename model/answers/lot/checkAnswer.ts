import { curveOf } from "#distributions/curve.ts";
import { DomainError } from "#distributions/domainError.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { Band, BandRow, DecisionRule, Outside, RowCheck, Verdict } from "#model/band/band.ts";
import { envelopeVerdict, stretchesOutside } from "#model/band/envelopeVerdict.ts";
import { judge, judgeByClass, overall } from "#model/band/judge.ts";
import { isByClass, limitValue, nameInside } from "#model/band/limits.ts";
import { otherOrigin } from "#model/band/otherOrigin.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { bandChance, capital, counted, listed } from "#model/words/wording.ts";
import { checkWords, sentenceOf } from "./checkWords.ts";

export interface CheckAnswer {
  readonly verdict: Verdict;
  readonly rule: DecisionRule;
  readonly runs: number;
  readonly rows: readonly RowCheck[];
  readonly outside: readonly Outside[];
  /** Where the runs state another instrument or reference drum than the band is tied to; absent where they do not. */
  readonly origin?: readonly string[];
  readonly sentence: string;
  readonly problems: readonly Problem[];
}

/**
 * A lot against its band; all measurements are runs of one lot, and what is judged is the mean over runs, by volume.
 *
 * @throws DomainError  no measurements
 * Source: docs/science.md.
 */
export function checkAnswer(
  measurements: readonly NamedMeasurement[],
  band: Band,
  options: { readonly rule?: DecisionRule | undefined } = {},
): CheckAnswer {
  if (measurements.length === 0) throw new DomainError("measurements", "must hold at least one run", 0);
  const rule = options.rule ?? band.rule;
  const { runs, problems: ofConversion } = byVolume(measurements);
  const checked = band.rows.map((row) =>
    runs === null ? { row: unjudged(row), problems: [] } : checkRow(row, runs, band, rule),
  );
  const rows = checked.map(({ row }) => row);
  const curves = (runs ?? []).map((m) => curveOf(m.distribution));
  const isCurveJudged = band.envelope !== null && runs !== null;
  const outside = isCurveJudged ? stretchesOutside(curves, band.envelope, rule) : [];
  const verdicts = [...rows, ...outside].map(({ verdict }) => verdict);
  if (isCurveJudged) verdicts.push(envelopeVerdict(curves, band.envelope, rule));
  const origin = otherOrigin(measurements, band);
  const found = {
    verdict: verdicts.length === 0 ? ("too few runs" as const) : overall(verdicts),
    runs: measurements.length,
    rows,
    outside,
    ...(origin.length === 0 ? {} : { origin }),
    problems: [
      ...ofConversion,
      ...checked.flatMap(({ problems }) => problems),
      ...emptyBand(band),
      ...tooFewRuns(rows, measurements.length),
    ],
  };
  return { ...found, rule, sentence: sentenceOf(checkWords(found)) };
}

function emptyBand(band: Band): Problem[] {
  if (band.rows.length > 0 || band.envelope !== null) return [];
  return [
    problem(
      "refused",
      "The band has neither limits nor an envelope, so the lot cannot be judged. Add a limit or an envelope to the band.",
      { expected: "limits or an envelope" },
    ),
  ];
}

function tooFewRuns(rows: readonly RowCheck[], runs: number): Problem[] {
  const scattering = rows.filter((row) => row.value !== null && !isByClass(row));
  if (scattering.every((row) => row.interval !== null && row.probability !== null)) return [];
  const noInterval = scattering.some((row) => row.interval === null)
    ? ", and no interval where no repeatability is agreed"
    : "";
  return [
    problem(
      "note",
      `${capital(counted(runs, "run"))} cannot show the run-to-run scatter, so no ${bandChance} is given${noInterval}. At least three runs are needed.`,
      {
        found: counted(runs, "run"),
        expected: "three runs or more",
        effect: "a number stays unknown",
      },
    ),
  ];
}

/** A row that cannot be read can neither pass nor fail: more must be measured, so it counts as too few runs. */
function unjudged(row: BandRow): RowCheck {
  return { ...limitsOf(row), value: null, interval: null, verdict: "too few runs", probability: null };
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
): { readonly row: RowCheck; readonly problems: readonly Problem[] } {
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
