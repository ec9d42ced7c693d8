import { curveOf, meanCurve } from "#distributions/curve.ts";
import { DomainError } from "#distributions/domainError.ts";
import type { NamedMeasurement } from "#distributions/measured.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { Band, BandRow, DecisionRule, Outside, RowCheck, Verdict } from "#model/band/band.ts";
import { envelopeVerdict, stretchesOutside } from "#model/band/envelope.ts";
import { judge, overall } from "#model/band/judge.ts";
import { limitValue, limitWords } from "#model/band/limits.ts";
import { capital, chanceText, counted, figures, listed } from "./wording.ts";

export interface CheckAnswer {
  readonly verdict: Verdict;
  readonly rule: DecisionRule;
  readonly runs: number;
  readonly rows: readonly RowCheck[];
  readonly outside: readonly Outside[];
  readonly sentence: string;
  readonly problems: readonly Problem[];
}

/**
 * A lot against its band; all measurements are runs of one lot, and what is judged is the mean over runs.
 *
 * @throws DomainError  no measurements
 * Source: MODEL §7.
 */
export function checkAnswer(
  measurements: readonly NamedMeasurement[],
  band: Band,
  options: { readonly rule?: DecisionRule | undefined } = {},
): CheckAnswer {
  if (measurements.length === 0) throw new DomainError("measurements", "must hold at least one run", 0);
  const rule = options.rule ?? band.rule;
  const problems: Problem[] = [];
  const rows = band.rows.map((row) => checkRow(row, measurements, band, rule, problems));
  const curves = measurements.map((m) => curveOf(m.distribution));
  const outside = band.envelope === null ? [] : stretchesOutside(meanCurve(curves), band.envelope);
  const verdicts = rows.map((row) => row.verdict);
  const ofEnvelope = band.envelope === null ? null : envelopeVerdict(curves, band.envelope, rule);
  if (ofEnvelope !== null) verdicts.push(ofEnvelope);
  if (verdicts.length === 0) {
    problems.push(
      problem(
        "refused",
        "The band has neither limits nor an envelope, so there is nothing to check against. Add a row or an envelope.",
        { expected: "rows or an envelope" },
      ),
    );
  }
  const kinds = new Set(measurements.map((m) => m.distribution.quantity));
  if (kinds.size > 1)
    problems.push(
      problem(
        "note",
        `The runs count different things (${[...kinds].join(", ")}); a mean over them means little.`,
        { found: [...kinds].join(", "), expected: "one quantity" },
      ),
    );
  if (rows.some((row) => row.value !== null && (row.interval === null || row.probability === null)))
    problems.push(
      problem(
        "note",
        `${capital(counted(measurements.length, "run"))} cannot show how the runs spread, so no chance of conforming is given${rows.some((row) => row.value !== null && row.interval === null) ? " and no interval where no repeatability is agreed" : ""}. Three runs are needed.`,
        { found: counted(measurements.length, "run"), expected: "three runs or more", effect: "null" },
      ),
    );
  const verdict = verdicts.length === 0 ? "too few runs" : overall(verdicts);
  const runs = measurements.length;
  return {
    verdict,
    rule,
    runs,
    rows,
    outside,
    sentence: sentenceOf(verdict, runs, rows, outside, ofEnvelope),
    problems,
  };
}

function checkRow(
  row: BandRow,
  measurements: readonly NamedMeasurement[],
  band: Band,
  rule: DecisionRule,
  problems: Problem[],
): RowCheck {
  const of = {
    limit: row.limit,
    ...(row.sizeUm === undefined ? {} : { sizeUm: row.sizeUm }),
    low: row.low,
    high: row.high,
  };
  const values = measurements.map((m) => limitValue(row, m.distribution, band));
  const missing = measurements.filter((_, i) => values[i] === null);
  if (missing.length > 0) {
    // A row that cannot be read can neither pass nor fail: more must be measured, so it counts as too few runs.
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
    return { ...of, value: null, interval: null, verdict: "too few runs", probability: null };
  }
  return {
    ...of,
    ...judge(
      values.filter((v) => v !== null),
      row,
      rule,
    ),
  };
}

function sentenceOf(
  verdict: Verdict,
  runs: number,
  rows: readonly RowCheck[],
  outside: readonly Outside[],
  ofEnvelope: Verdict | null,
): string {
  const parts = [`${capital(verdict)}, ${counted(runs, "run")}.`];
  const d50 = rows.find((row) => row.limit === "d50Um");
  if (d50 !== undefined && d50.value !== null && d50.verdict === "in band")
    parts.push(`${valueText(d50)} is inside.`);
  const order: Verdict[] = ["out of band", "on the edge"];
  const notable = rows
    .filter((row) => order.includes(row.verdict))
    .sort((a, b) => order.indexOf(a.verdict) - order.indexOf(b.verdict));
  parts.push(...notable.slice(0, 3).map((row) => `${valueText(row)} ${whereText(row)}.`));
  if (notable.length > 3) parts.push(`${capital(counted(notable.length - 3, "more limit"))} like that.`);
  if (verdict === "too few runs")
    parts.push("Three runs, or an agreed repeatability, are needed to say more.");
  if (notable.length === 0 && verdict === "in band") parts.push(closestText(rows));
  const leaves = outside.reduce<Outside | null>(
    (worst, o) => (worst === null || Math.abs(o.points) > Math.abs(worst.points) ? o : worst),
    null,
  );
  if (leaves !== null) {
    parts.push(
      `The curve leaves the band between ${figures(leaves.fromUm)} and ${figures(leaves.toUm)} µm, by up to ${figures(Math.abs(leaves.points))} points ${leaves.points > 0 ? "too fine" : "too coarse"}.`,
    );
  } else if (ofEnvelope === "on the edge")
    parts.push("The mean curve stays within the band, but not surely at every size.");
  return parts.filter((part) => part !== "").join(" ");
}

function valueText(row: RowCheck): string {
  const { name, unit, factor } = limitWords(row);
  const show = (v: number) => figures(v * factor);
  const interval = row.interval === null ? "" : ` (${show(row.interval.low)}–${show(row.interval.high)})`;
  return `${name} ${show(row.value ?? 0)}${unit === "" ? "" : ` ${unit}`}${interval}`;
}

function whereText(row: RowCheck): string {
  const { unit, factor } = limitWords(row);
  const value = row.value ?? 0;
  const isHigh =
    row.high !== null && (row.low === null || Math.abs(value - row.high) < Math.abs(value - row.low));
  const limit = `${isHigh ? "upper" : "lower"} limit of ${figures(((isHigh ? row.high : row.low) ?? 0) * factor)}${unit === "" ? "" : ` ${unit}`}`;
  const sure = row.probability === null ? "" : `, chance of conforming ${chanceText(row.probability)}`;
  if (row.verdict === "on the edge") return `touches its ${limit}${sure}`;
  const isBeyond = (row.high !== null && value > row.high) || (row.low !== null && value < row.low);
  return isBeyond
    ? `is ${isHigh ? "over" : "under"} its ${limit}${sure}`
    : `is not surely within its ${limit}${sure}`;
}

/** The limit that a lot in band comes nearest to, so that its reader knows where the room is small. */
function closestText(rows: readonly RowCheck[]): string {
  const rooms = rows.flatMap((row) => {
    const { value, low, high } = row;
    if (value === null || low === null || high === null || row.limit === "d50Um") return [];
    return [{ row, room: Math.min(value - low, high - value) / (high - low) }];
  });
  const [least] = rooms.sort((a, b) => a.room - b.room);
  return least === undefined
    ? ""
    : `Least room: ${valueText(least.row)} within ${figures((least.row.low ?? 0) * limitWords(least.row).factor)}–${figures((least.row.high ?? 0) * limitWords(least.row).factor)}.`;
}
