import type { Problem } from "#distributions/problem.ts";
import type { Outside, RowCheck, Verdict } from "#model/band/band.ts";
import { limitBeyond, limitWords } from "#model/band/limits.ts";
import { minRuns } from "#model/lot/intervals.ts";
import type { Lumps } from "#model/lot/lumps.ts";
import { capital, chanceText, counted, figures } from "#model/words/wording.ts";

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
export function checkWords(answer: JudgedFinding, gap: string | null = null): CheckWords {
  const { verdict, runs } = answer;
  // The chance of being in is about the stage of the band, of which runs of another stage say nothing.
  const rows = gap === null ? answer.rows : answer.rows.map((row) => ({ ...row, probability: null }));
  const found = { ...answer, rows };
  const many = counted(runs, "run");
  const why = found.problems.find((p) => p.severity === "refused");
  if (why !== undefined && verdict === "too few runs" && found.rows.every((row) => row.value === null))
    return { verdict: "Not judged", headline: `, ${many}. ${why.message}`, more: "" };
  const [first = "", ...rest] = [lumpsText(found), ...remarks(found)].filter((part) => part !== "");
  const more = [...rest, ...(found.origin ?? [])].filter((part) => part !== "").join(" ");
  if (gap !== null)
    return {
      verdict: "",
      headline: `${gap} As it is, ${many}, it ${placeText(found)}.`,
      more: `${first} ${more}`.trim(),
    };
  const word = isUnproven(found) ? "not shown to be in band" : verdict;
  return { verdict: capital(word), headline: `, ${many}. ${first}`.trim(), more };
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
    held.every((row) => sideOf(row) === null) &&
    outside.every((stretch) => stretch.verdict !== "out of band")
  );
}

/** Every remark about the limits and the curve, the one that decides first. */
function remarks(found: JudgedFinding): string[] {
  const { verdict, runs, rows } = found;
  const d50 = rows.find((row) => row.limit === "d50Um" && row.verdict === "in band");
  const inside = d50 === undefined ? "" : `${valueText(d50)} is inside.`;
  const curve = curveText(found);
  if (verdict === "in band") return [inside, closestText(rows), curve];
  if (verdict === "too few runs" && runs < minRuns) return [...unsureRuns(found), curve];
  const notable = notableRows(rows);
  const said = notable.slice(0, 3).map((row) => `${valueText(row)} ${whereText(row)}.`);
  if (notable.length > 3) said.push(`${capital(counted(notable.length - 3, "more limit"))} like that.`);
  const unknown = rows
    .filter((row) => row.value === null)
    .map((row) => `${limitWords(row).name} is not known.`);
  return [...unknown, ...said, curve, inside].filter((part) => part !== "");
}

/** Air classification or a sieve reaches so far down and up. Common practice, no source. */
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

/** One or two runs: where the middle lies, and that it says nothing of the spread. */
function unsureRuns({ runs, rows }: JudgedFinding): string[] {
  const row = rows.find((r) => r.limit === "d50Um" && r.value !== null) ?? rows.find((r) => r.value !== null);
  const beyond = rows.filter((r) => r !== row && r.value !== null && sideOf(r) !== null);
  const cannot = `${counted(runs, "run")} cannot tell how runs spread`;
  return [
    row === undefined ? `${capital(cannot)}.` : `${valueText(row)} ${sitsText(row)}, but ${cannot}.`,
    ...beyond.slice(0, 3).map((r) => `${valueText(r)} ${sitsText(r)}.`),
    "Three runs, or an agreed repeatability, are needed to say more.",
  ];
}

/** Rows that are out or on the edge, the farthest out first. */
function notableRows(rows: readonly RowCheck[]): RowCheck[] {
  const order: Verdict[] = ["out of band", "on the edge"];
  return rows
    .filter((row) => order.includes(row.verdict))
    .sort((a, b) => order.indexOf(a.verdict) - order.indexOf(b.verdict) || excessOf(b) - excessOf(a));
}

/** How far a value lies beyond its nearer limit, as a part of what is allowed; negative inside. */
function excessOf({ value, low, high }: RowCheck): number {
  const v = value ?? 0;
  const scale = low !== null && high !== null && high > low ? high - low : Math.abs(high ?? low ?? 1) || 1;
  const beyond = Math.max(low === null ? -Infinity : low - v, high === null ? -Infinity : v - high);
  return beyond / scale;
}

function placeText({ verdict, rows }: JudgedFinding): string {
  if (verdict === "in band") return "lies inside the band";
  if (verdict === "on the edge") return "touches the band's limits";
  if (verdict === "too few runs") return "cannot be placed yet: the runs are too few";
  const d50 = rows.find((row) => row.limit === "d50Um" && row.verdict === "out of band");
  const side = d50 === undefined ? null : sideOf(d50);
  return side === null
    ? "lies partly outside the band"
    : `is ${side === "low" ? "finer" : "coarser"} than the band`;
}

function curveText({ verdict, rows, outside }: JudgedFinding): string {
  const order: Verdict[] = ["out of band", "too few runs", "on the edge", "in band"];
  const [worst] = [...outside].sort(
    (a, b) => order.indexOf(a.verdict) - order.indexOf(b.verdict) || Math.abs(b.points) - Math.abs(a.points),
  );
  if (worst !== undefined)
    return `The curve ${worst.verdict === "on the edge" ? "touches" : "leaves"} the band between ${figures(worst.fromUm)} and ${figures(worst.toUm)} µm: ${outsideText(worst)}.`;
  return verdict === "on the edge" && notableRows(rows).length === 0
    ? "The mean curve stays within the band, but not surely at every size."
    : "";
}

/** How far, and to which side, a stretch of the curve is out; and whether the runs can tell. */
export function outsideText({ points, verdict }: Outside): string {
  const far = `up to ${figures(Math.abs(points))} points ${points > 0 ? "finer" : "coarser"} than it allows`;
  return verdict === "on the edge" ? `${far}, less than the runs can tell apart` : far;
}

function valueText(row: RowCheck): string {
  const { name, unit, factor } = limitWords(row);
  const digits = digitsApart(row);
  const show = (v: number) => figures(v * factor, digits);
  const interval = row.interval === null ? "" : ` (${show(row.interval.low)}–${show(row.interval.high)})`;
  return `${name} ${show(row.value ?? 0)}${unit === "" ? "" : ` ${unit}`}${interval}`;
}

const fewestDigits = 3;
const mostDigits = 7;

/** As many figures as tell a value from the limits it is not equal to. */
function digitsApart(row: RowCheck): number {
  const { value, low, high } = row;
  if (value === null) return fewestDigits;
  const { factor } = limitWords(row);
  const limits = [low, high].filter((limit) => limit !== null && limit !== value);
  const isApart = (digits: number) =>
    limits.every((limit) => figures((limit ?? 0) * factor, digits) !== figures(value * factor, digits));
  let digits = fewestDigits;
  while (digits < mostDigits && !isApart(digits)) digits++;
  return digits;
}

function sideOf({ value, low, high }: RowCheck): "low" | "high" | null {
  return value === null ? null : limitBeyond(value, { low, high });
}

function limitText(row: RowCheck, side: "low" | "high"): string {
  const { unit, factor } = limitWords(row);
  const limit = (side === "high" ? row.high : row.low) ?? 0;
  return `${side === "high" ? "upper" : "lower"} limit of ${figures(limit * factor, digitsApart(row))}${unit === "" ? "" : ` ${unit}`}`;
}

function sitsText(row: RowCheck): string {
  const side = sideOf(row);
  return side === null
    ? "sits inside its limits"
    : `sits ${side === "high" ? "over" : "under"} its ${limitText(row, side)}`;
}

function whereText(row: RowCheck): string {
  const value = row.value ?? 0;
  const isHighNearer =
    row.high !== null && (row.low === null || Math.abs(value - row.high) < Math.abs(value - row.low));
  const side = sideOf(row) ?? (isHighNearer ? "high" : "low");
  const sure = row.probability === null ? "" : `, chance of being in ${chanceText(row.probability)}`;
  const limit = `its ${limitText(row, side)}${sure}`;
  if (row.verdict === "on the edge") return `touches ${limit}`;
  return sideOf(row) === null
    ? `is not shown to be within ${limit}`
    : `is ${side === "high" ? "over" : "under"} ${limit}`;
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
