import type { Problem } from "#distributions/problem.ts";
import type { Outside, RowCheck, Verdict } from "#model/band/band.ts";
import { limitBeyond, nameInside } from "#model/band/limits.ts";
import { minRuns } from "#model/lot/intervals.ts";
import type { Lumps } from "#model/lot/lumps.ts";
import { capital, counted, figures } from "#model/words/wording.ts";
import {
  closestText,
  guardedText,
  isGuardedOnly,
  type KnownRow,
  otherLimitsText,
  singleText,
  valueText,
  whereText,
} from "./limitRemarks.ts";

/** What the words are made of: the parts of a check. */
interface JudgedFinding {
  readonly verdict: Verdict;
  readonly runs: number;
  readonly rows: readonly RowCheck[];
  readonly outside: readonly Outside[];
  readonly origin?: readonly string[];
  readonly lumps?: Lumps;
  readonly problems: readonly Problem[];
}

export interface CheckWords {
  /** The verdict where it is final; empty where the runs are of another stage than the band. */
  readonly verdict: string;
  /** What follows the verdict in the first sentence: the runs and the limit that matters most. */
  readonly headline: string;
  /** The rest, in order of weight. */
  readonly more: string;
}

/** All of a check's words as one text. */
export function sentenceOf({ verdict, headline, more }: CheckWords): string {
  return `${verdict}${headline}${more === "" ? "" : ` ${more}`}`;
}

/**
 * A check in words.
 * @param gap  why the verdict is not final, where the runs are of another stage than the band; else null
 */
export function verdictWords(answer: JudgedFinding, gap: string | null = null): CheckWords {
  const { verdict, runs } = answer;
  // The chance of being in band is about the stage of the band, of which runs of another stage say nothing.
  const rows = gap === null ? answer.rows : answer.rows.map((row) => ({ ...row, probability: null }));
  const found = { ...answer, rows };
  const many = counted(runs, "run");
  const why = found.problems.find((p) => p.severity === "refused");
  if (why !== undefined && verdict === "too few runs" && found.rows.every((row) => row.value === null))
    return { verdict: "Not judged", headline: `, ${many}. ${why.message}`, more: "" };
  const [first = "", ...rest] = withLevelOnce(
    [lumpsText(found), ...remarks(found)].filter((part) => part !== ""),
  );
  const more = [...rest, ...(found.origin ?? [])].filter((part) => part !== "").join(" ");
  if (gap !== null)
    return {
      verdict: "",
      headline: `${gap} As measured (${many}), the powder ${positionText(found)}.`,
      more: `${first} ${more}`.trim(),
    };
  const word = isUnproven(found) ? "not shown to be in band" : verdict;
  if (verdict !== "too few runs")
    return { verdict: capital(word), headline: `, ${many}. ${first}`.trim(), more };
  const needed = runs < minRuns ? `: ${many}; ${needs}.` : `, ${many}.`;
  return { verdict: "Not judged", headline: `${needed} ${first}`.trim(), more };
}

/**
 * Whether a lot is held under the guarded rule though no mean lies beyond its limit: nothing shows that it is out, only that it
 * is not shown to be in.
 */
function isUnproven({ verdict, rows, outside }: JudgedFinding): boolean {
  const held = rows.filter((row) => row.verdict === "out of band");
  return (
    verdict === "out of band" &&
    held.length > 0 &&
    held.every((row) => row.value !== null && limitBeyond(row.value, row) === null) &&
    outside.every((stretch) => stretch.verdict !== "out of band")
  );
}

const needs = "three runs or an agreed repeatability are needed";

/** The first interval that is shown says its level; the others have the same. */
function withLevelOnce(parts: readonly string[]): string[] {
  const first = parts.findIndex((part) => anInterval.test(part));
  return parts.map((part, i) => (i === first ? part.replace(anInterval, "(95 %: ") : part));
}

const anInterval = /\((?=[−\d][\d.,]*–)/;

function knownRows(rows: readonly RowCheck[]): KnownRow[] {
  return rows.flatMap((row) => (row.value === null ? [] : [{ ...row, value: row.value }]));
}

/** Coarser than this a sieve takes lumps off too. Common practice, no source. */
const leastSievedUm = 20;

/** "2.6 % lies above 20 µm, apart from the main powder: lumps?" */
function lumpsText({ lumps }: JudgedFinding): string {
  if (lumps === undefined) return "";
  const { aboveUm, share } = lumps;
  const remedy =
    aboveUm >= leastSievedUm
      ? "A sieve or an air classifier takes them off; look for them under the microscope."
      : "An air classifier may take them off; look for them under the microscope.";
  return `${figures(100 * share)} % lies above ${figures(aboveUm)} µm, apart from the main powder: lumps? ${remedy}`;
}

/** At most this many limits are named one by one. */
const maxNamed = 3;

/** Every remark about the limits and the curve, the one that decides first. */
function remarks(found: JudgedFinding): string[] {
  const { verdict, runs } = found;
  const rows = knownRows(found.rows);
  const d50 = rows.find((row) => row.limit === "d50Um" && row.verdict === "in band");
  const inside = d50 === undefined ? "" : `${valueText(d50)} is within its limits.`;
  const curve = curveText(found, rows);
  if (verdict === "in band") return [inside, closestText(rows), curve];
  if (verdict === "too few runs" && runs < minRuns) return [...unsureRuns(runs, rows), curve];
  const notable = notableRows(rows);
  const shown = notable.slice(0, maxNamed);
  const others = notable.slice(maxNamed);
  const named = [
    ...shown.filter((row) => !isGuardedOnly(row)).map((row) => `${valueText(row)} ${whereText(row)}.`),
    guardedText(shown.filter(isGuardedOnly)),
    otherLimitsText(others),
  ];
  const unknown = found.rows
    .filter((row) => row.value === null)
    .map((row) => `${capital(nameInside(row))} is not known.`);
  return [...unknown, ...named, curve, inside].filter((part) => part !== "");
}

/** One or two runs: where the median lies, and that it says nothing about the scatter. */
function unsureRuns(runs: number, rows: readonly KnownRow[]): string[] {
  const row = rows.find((r) => r.limit === "d50Um") ?? rows[0];
  const beyond = rows.filter((r) => r !== row && limitBeyond(r.value, r) !== null);
  const cannot = `${counted(runs, "run")} cannot show the run-to-run scatter`;
  return [
    row === undefined ? `${capital(cannot)}.` : `${valueText(row)} ${singleText(row)}, but ${cannot}.`,
    ...beyond.slice(0, maxNamed).map((r) => `${valueText(r)} ${singleText(r)}.`),
  ];
}

/** Rows that are out or on the edge, the farthest out first. */
function notableRows(rows: readonly KnownRow[]): KnownRow[] {
  const order: Verdict[] = ["out of band", "on the edge"];
  return rows
    .filter((row) => order.includes(row.verdict))
    .sort((a, b) => order.indexOf(a.verdict) - order.indexOf(b.verdict) || excessOf(b) - excessOf(a));
}

/** How far a value lies beyond its nearer limit, as a part of what is allowed; negative inside. */
function excessOf({ value, low, high }: KnownRow): number {
  const scale = low !== null && high !== null && high > low ? high - low : Math.abs(high ?? low ?? 1) || 1;
  const beyond = Math.max(low === null ? -Infinity : low - value, high === null ? -Infinity : value - high);
  return beyond / scale;
}

function positionText({ verdict, rows }: JudgedFinding): string {
  if (verdict === "in band") return "lies within the band";
  if (verdict === "on the edge") return "is too close to the band's limits to call";
  if (verdict === "too few runs") return "cannot be judged yet: there are too few runs";
  const d50 = knownRows(rows).find((row) => row.limit === "d50Um" && row.verdict === "out of band");
  const side = d50 === undefined ? null : limitBeyond(d50.value, d50);
  return side === null
    ? "lies partly outside the band"
    : `is ${side === "low" ? "finer" : "coarser"} than the band`;
}

function curveText({ verdict, outside }: JudgedFinding, rows: readonly KnownRow[]): string {
  const order: Verdict[] = ["out of band", "too few runs", "on the edge", "in band"];
  const [worst] = [...outside].sort(
    (a, b) => order.indexOf(a.verdict) - order.indexOf(b.verdict) || Math.abs(b.points) - Math.abs(a.points),
  );
  if (worst !== undefined)
    return `Between ${stretchText(worst)} the curve ${worst.verdict === "on the edge" ? "is too close to the edge of the envelope to call" : "leaves the envelope"}: ${outsideText(worst)}.`;
  return verdict === "on the edge" && notableRows(rows).length === 0
    ? "The mean curve lies within the envelope, but its interval does not at every size."
    : "";
}

/** "2.36 and 6.66 µm, the last size judged,": a curve may go on outside where the envelope is only drawn. */
function stretchText({ fromUm, toUm, cutAt = [] }: Outside): string {
  const first = cutAt.includes("from") ? " µm, the first size judged," : "";
  const last = cutAt.includes("to") ? ", the last size judged," : "";
  return `${figures(fromUm)}${first} and ${figures(toUm)} µm${last}`;
}

/** How far, and to which side, a stretch of the curve is out; and whether the runs can tell. */
export function outsideText({ points, verdict }: Outside): string {
  const far = `up to ${figures(Math.abs(points))} percentage points ${points > 0 ? "finer" : "coarser"} than allowed`;
  return verdict === "on the edge" ? `${far}, which is within the run-to-run scatter` : far;
}
