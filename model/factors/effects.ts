import type { Interval } from "#model/numbers/interval.ts";
import { tCdf, tQuantile } from "#model/numbers/studentT.ts";
import { correlationOf, regressionOn } from "./regression.ts";

/** A column of a table of lots: a setting or a result, lot by lot; null where a lot has none. */
export interface LotColumn {
  readonly name: string;
  readonly unit?: string;
  readonly values: readonly (number | null)[];
}

export interface EffectsQuestion {
  readonly factors: readonly LotColumn[];
  readonly results: readonly LotColumn[];
  /** Share of the claims that may be false; of histories without any effect as many claim something. */
  readonly falseDiscoveryRate?: number;
  readonly level?: number;
}

/** What one factor goes with, in one result. */
export interface FactorEffect {
  readonly result: string;
  readonly factor: string;
  readonly lots: number;
  readonly verdict: "goes with it" | "not separated" | "not shown" | "does not vary" | "too few lots";
  /** Change of the result per unit of the factor, the claimed factors held fixed; null where it cannot be worked out. */
  readonly slope: number | null;
  readonly interval: Interval | null;
  /** Two-sided, before any correction for how much was looked at. */
  readonly pValue: number | null;
  /** Factors, or the order in time, that these lots do not tell apart from this one. */
  readonly rivals: readonly string[];
}

/** What the order of the lots is called among rivals. */
export const timeOrder = "the order in which the lots were made";

/** Factors that move together more closely than this are named together [judgement, MODEL 15]. */
export const togetherFrom = 0.8;

/**
 * Which settings go with which results, over all that is looked at together.
 *
 * For each result factors enter one after the other, the one that explains most first, each tested by Student's t with
 * those before it held fixed. Over the results the first steps are held to the false discovery rate
 * (Benjamini and Hochberg 1995) and the later ones to the same rate among the results that were selected
 * (Benjamini and Bogomolov 2014). A claim names as rivals the factors, and the order in time, that explain
 * the same about as well: going together is not causing.
 *
 * @returns one effect a result and factor, in the order of the question
 * Source: textbook least squares; both papers from memory. Checked by simulation: docs/validation.md.
 */
export function effectsOf(question: EffectsQuestion): readonly FactorEffect[] {
  const { factors, results, falseDiscoveryRate: rate = 0.05, level = 0.95 } = question;
  const views = results.map((result) => viewOf(result, factors));
  const selected = new Set(selectedOf(views, rate));
  const laterRate = (rate * selected.size) / Math.max(views.length, 1);
  return views.flatMap((view) => {
    const claimed = selected.has(view) ? claimedIn(view, laterRate) : [];
    return factors.map((factor) => effectOf({ view, factor, claimed, level }));
  });
}

/** Below this many lots with the result and all factors nothing is judged [judgement]. */
export const minLotsForEffects = 6;
/** A rival explains the same where the claimed factor adds nothing beside it at this level. */
const rivalLevel = 0.05;

/** One result with the factors that vary, over the lots that have all of them. */
interface View {
  readonly result: string;
  readonly y: readonly number[];
  /** Place of each lot in the table, which is the order in which they were made. */
  readonly order: readonly number[];
  readonly columns: ReadonlyMap<string, readonly number[]>;
}

function viewOf(result: LotColumn, factors: readonly LotColumn[]): View {
  const others = factors.filter((factor) => factor.name !== result.name);
  const order = result.values.flatMap((value, i) =>
    value !== null && others.every((factor) => (factor.values[i] ?? null) !== null) ? [i] : [],
  );
  const at = (column: LotColumn) => order.flatMap((i) => column.values[i] ?? []);
  const columns = others
    .map((factor) => [factor.name, at(factor)] as const)
    .filter(([, values]) => values.some((value) => value !== values[0]));
  return { result: result.name, y: at(result), order, columns: new Map(columns) };
}

/** Benjamini and Hochberg over the results, each by its best factor corrected for how many were tried. */
function selectedOf(views: readonly View[], rate: number): readonly View[] {
  const sorted = views
    .map((view) => ({ view, p: Math.min(1, (best(view, [])?.p ?? 1) * view.columns.size) }))
    .toSorted((a, b) => a.p - b.p);
  const last = sorted.findLastIndex(({ p }, i) => p <= (rate * (i + 1)) / sorted.length);
  return sorted.slice(0, last + 1).map(({ view }) => view);
}

/** The factors of a selected result that enter, in the order in which they do. */
function claimedIn(view: View, rate: number): readonly string[] {
  const claimed: string[] = [];
  for (;;) {
    const next = best(view, claimed);
    if (next === null || next.p * (view.columns.size - claimed.length) > rate) return claimed;
    claimed.push(next.name);
  }
}

/** The factor that explains most of what those before it leave; null where none can be tried. */
function best(view: View, claimed: readonly string[]): { readonly name: string; readonly p: number } | null {
  const tried = [...view.columns.keys()]
    .filter((name) => !claimed.includes(name))
    .flatMap((name) => {
      const p = entry(view, name, claimed)?.pValue ?? null;
      return p === null ? [] : [{ name, p }];
    });
  return tried.toSorted((a, b) => a.p - b.p)[0] ?? null;
}

interface Entry {
  readonly slope: number;
  readonly standardError: number;
  readonly degrees: number;
  readonly pValue: number;
}

/** A column beside others in the regression of the result; null where these lots cannot hold it. */
function entry(
  view: View,
  name: string | readonly number[],
  beside: readonly (string | readonly number[])[],
): Entry | null {
  if (view.y.length < minLotsForEffects) return null;
  const columns = [...beside, name].map((each) =>
    typeof each === "string" ? (view.columns.get(each) ?? []) : each,
  );
  const fit = regressionOn(columns, view.y);
  const slope = fit?.slopes.at(-1);
  const standardError = fit?.standardErrors.at(-1);
  if (fit === null || slope === undefined || standardError === undefined || !(standardError > 0)) return null;
  const pValue = 2 * (1 - tCdf(Math.abs(slope / standardError), fit.degrees));
  return { slope, standardError, degrees: fit.degrees, pValue };
}

function effectOf(asked: {
  readonly view: View;
  readonly factor: LotColumn;
  readonly claimed: readonly string[];
  readonly level: number;
}): FactorEffect {
  const { view, factor, claimed, level } = asked;
  const { name } = factor;
  const lots = view.y.length;
  const base = { result: view.result, factor: name, lots };
  const nothing = { slope: null, interval: null, pValue: null, rivals: [] };
  if (lots < minLotsForEffects) return { ...base, ...nothing, verdict: "too few lots" };
  if (!view.columns.has(name)) return { ...base, ...nothing, verdict: "does not vary" };
  const others = claimed.filter((each) => each !== name);
  const found = entry(view, name, others);
  const rivals = rivalsOf(view, name, claimed);
  if (found === null)
    return { ...base, ...nothing, rivals, verdict: rivals.length > 0 ? "not separated" : "too few lots" };
  const reach = tQuantile(0.5 + level / 2, found.degrees) * found.standardError;
  const interval = { low: found.slope - reach, high: found.slope + reach, level };
  const verdict = claimed.includes(name)
    ? rivals.length > 0
      ? "not separated"
      : "goes with it"
    : rivals.some((rival) => claimed.includes(rival))
      ? "not separated"
      : "not shown";
  return { ...base, slope: found.slope, interval, pValue: found.pValue, rivals, verdict };
}

/** What explains the same about as well as a claimed factor; for one that is not claimed, the claimed one it moves with. */
function rivalsOf(view: View, name: string, claimed: readonly string[]): readonly string[] {
  const own = view.columns.get(name) ?? [];
  if (!claimed.includes(name)) return claimed.filter((other) => isRival(view, other, name, claimed));
  const byName = [...view.columns.keys()].filter(
    (other) => !claimed.includes(other) && isRival(view, name, other, claimed),
  );
  const rest = claimed.filter((other) => other !== name);
  const isTime =
    Math.abs(correlationOf(own, view.order)) > togetherFrom ||
    explainsTheSame(view, { claim: name, rival: view.order, rest });
  return isTime ? [...byName, timeOrder] : byName;
}

function isRival(view: View, claim: string, other: string, claimed: readonly string[]): boolean {
  const [a, b] = [view.columns.get(claim), view.columns.get(other)];
  if (a === undefined || b === undefined) return false;
  if (Math.abs(correlationOf(a, b)) > togetherFrom) return true;
  return explainsTheSame(view, { claim, rival: other, rest: claimed.filter((each) => each !== claim) });
}

/** The rival goes with the result by itself, and beside it the claimed factor adds nothing. */
function explainsTheSame(
  view: View,
  { claim, rival, rest }: { claim: string; rival: string | readonly number[]; rest: readonly string[] },
): boolean {
  const alone = entry(view, rival, rest);
  if (alone === null || alone.pValue > rivalLevel) return false;
  const beside = entry(view, claim, [...rest, rival]);
  return beside === null || beside.pValue > rivalLevel;
}
