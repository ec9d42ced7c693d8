import { curveOf } from "#distributions/curve.ts";
import { DomainError } from "#distributions/domainError.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { Band, BandRow, DecisionRule, Outside, RowCheck, Verdict } from "#model/band/band.ts";
import { envelopeVerdict, stretchesOutside } from "#model/band/envelopeVerdict.ts";
import { judge, judgeByClass, overall } from "#model/band/judge.ts";
import { isByClass, limitValue, limitWords } from "#model/band/limits.ts";
import { otherOrigin } from "#model/band/otherOrigin.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { placesOfOwnRuns } from "#model/lot/copies.ts";
import { type Lumps, lumpsOf } from "#model/lot/lumps.ts";
import { capital, counted, listed } from "#model/words/wording.ts";
import { checkWords, sentenceOf } from "./checkWords.ts";
import { type ReleaseAnswer, releaseAnswer } from "./releaseAnswer.ts";

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
  /** How likely the lot conforms; absent unless the ground's kept lots were given, or where nothing is known of the scatter. */
  readonly release?: ReleaseAnswer;
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
  options: {
    readonly rule?: DecisionRule | undefined;
    /** The runs of each kept lot of the ground, oldest first, without this lot. */
    readonly kept?: readonly (readonly NamedMeasurement[])[];
  } = {},
): CheckAnswer {
  if (measurements.length === 0) throw new DomainError("measurements", "must hold at least one run", 0);
  const rule = options.rule ?? band.rule;
  const { runs: turned, problems: turning } = byVolume(measurements);
  const { runs, problems: copies } = withoutCopies(turned);
  const many = runs?.length ?? measurements.length;
  const problems = [...turning, ...copies];
  const rows = band.rows.map((row) =>
    runs === null ? unjudged(row) : checkRow(row, runs, band, rule, problems),
  );
  const curves = (runs ?? []).map((m) => curveOf(m.distribution));
  const isCurveJudged = band.envelope !== null && runs !== null;
  const outside = isCurveJudged ? stretchesOutside(curves, band.envelope, rule) : [];
  const verdicts = [...rows, ...outside].map(({ verdict }) => verdict);
  if (isCurveJudged) verdicts.push(envelopeVerdict(curves, band.envelope, rule));
  if (band.rows.length === 0 && band.envelope === null) {
    problems.push(
      problem(
        "refused",
        "The band has neither limits nor an envelope, so there is nothing to check against. Add a row or an envelope.",
        { expected: "rows or an envelope" },
      ),
    );
  }
  const spread = rows.filter((row) => row.value !== null && !isByClass(row));
  if (spread.some((row) => row.interval === null || row.probability === null))
    problems.push(
      problem(
        "note",
        `${capital(counted(many, "run"))} cannot show how the runs spread, so no chance of being in is given${spread.some((row) => row.interval === null) ? " and no interval where no repeatability is agreed" : ""}. Three runs are needed.`,
        {
          found: counted(many, "run"),
          expected: "three runs or more",
          effect: "a number stays unknown",
        },
      ),
    );
  const origin = otherOrigin(measurements, band);
  const lumps = curves.length === 0 ? null : lumpsOf(curves);
  const release = options.kept === undefined ? null : releaseAnswer(measurements, band, options.kept);
  const found = {
    verdict: verdicts.length === 0 ? ("too few runs" as const) : overall(verdicts),
    runs: many,
    rows,
    outside,
    ...(origin.length === 0 ? {} : { origin }),
    ...(lumps === null ? {} : { lumps }),
    ...(release === null ? {} : { release }),
    problems,
  };
  return { ...found, rule, sentence: sentenceOf(checkWords(found)) };
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
        `${found}, and a copy is no run: it says nothing of how runs spread. ${capital(counted(places.length, "run"))} ${places.length === 1 ? "was" : "were"} judged.`,
        { measurement: copies[0] ?? null, found, expected: "runs measured each by itself" },
      ),
    ],
  };
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
  problems: Problem[],
): RowCheck {
  const values = measurements.map((m) => limitValue(row, m.distribution, band));
  const missing = measurements.filter((_, i) => values[i] === null);
  if (missing.length > 0) {
    problems.push(
      problem(
        "refused",
        `${limitWords(row).name} is not known for ${listed(missing.map((m) => m.name))}: it lies in the share outside the classes, or needs a density. Measure further, or take the row out of the band.`,
        {
          measurement: missing[0]?.name ?? null,
          found: "no value",
          expected: row.limit,
        },
      ),
    );
    return unjudged(row);
  }
  const known = values.filter((v) => v !== null);
  return { ...limitsOf(row), ...(isByClass(row) ? judgeByClass : judge)(known, row, rule) };
}
