import { type Problem, problem } from "#distributions/problem.ts";
import {
  derivedFrom,
  isConstant,
  isCounter,
  isRunningNumber,
  type NumberColumn,
  numberColumn,
  plainColumn,
  type RowFigure,
  scaledBy,
} from "#distributions/tables/layout/sameCurve.ts";
import { edgeOf } from "#distributions/tables/text/claims.ts";
import type { Parsed } from "#distributions/tables/text/parsed.ts";
import { placeKey, type Role, type Roles } from "#distributions/tables/text/roles.ts";
import { isMeanName, isSpreadName, valuesIn } from "#distributions/tables/text/words.ts";
import type { Block, Series } from "./block.ts";
import { densitiesOf } from "./densityTwins.ts";
import { type EdgeShown, type LeftOut, maxCompared, sameCurves } from "./twinColumns.ts";

/** The series that are measurements, and what the others tell. */
export interface WithoutDerived {
  readonly series: readonly Series[];
  readonly remarks: readonly Problem[];
  /** A cumulative column beside the shares tells which edge its sizes are. */
  readonly edge: EdgeShown | null;
  /** What each series is that is no measurement. */
  readonly left: ReadonlyMap<Series, string>;
}

/** Counters, means, spreads, running sums, densities and other scales of the other columns are no measurements of their own. */
export function withoutDerived(
  block: Block,
  parsed: Parsed,
  about: {
    readonly file: string | null;
    readonly roles: Roles;
    /** µm, a list or two in the order of the rows, NaN where a row holds none; empty where they cannot be read. */
    readonly sizesUm: readonly (readonly number[])[];
  },
): WithoutDerived {
  const { roles } = about;
  const isSaid = (role: Role) => (one: Series) => roles.get(placeKey(one.at)) === role;
  const out = block.series.filter(isSaid("left-out"));
  const found = derivedIn(
    { ...block, series: out.length === 0 ? block.series : block.series.filter((s) => !out.includes(s)) },
    parsed,
    about,
  );
  const kept = [...found.left.keys()].filter(isSaid("measurement"));
  const counted = new Set([...found.series, ...kept]);
  return {
    ...found,
    series: block.series.filter((s) => counted.has(s)),
    remarks: found.remarks.filter(
      ({ column, row }) => !kept.some((s) => s.at.column === column && s.at.row === row),
    ),
    left: new Map([
      ...[...found.left].filter(([s]) => !kept.includes(s)),
      ...out.map((s): [Series, string] => [s, "as you said"]),
    ]),
  };
}

function derivedIn(
  block: Block,
  parsed: Parsed,
  { file, sizesUm }: { readonly file: string | null; readonly sizesUm: readonly (readonly number[])[] },
): WithoutDerived {
  const { series } = block;
  if (series.length < 2) return { series, remarks: [], edge: null, left: new Map() };
  const columns = new Map(series.map((one) => [one, columnOf(one, parsed)] as const));
  const left = new Map<Series, string>();
  const remarks: Problem[] = [];
  const leave = (one: Series, what: string, message: string) => {
    left.set(one, what);
    remarks.push(
      problem("note", message, { file, measurement: one.heading, column: one.at.column, row: one.at.row }),
    );
  };
  const named = (one: Series) => `Column "${one.heading}"`;
  const rest = () => series.filter((s) => !left.has(s));
  for (const one of series) {
    const column = columns.get(one);
    if (column !== undefined && (isCounter(column) || isRunningNumber(column)))
      leave(one, "a counter", `${named(one)} counts the rows and was left out.`);
  }
  const same = (one: Series) => isConstant(columns.get(one) ?? nothing) && !isSpreadName(one.heading);
  const constant = rest().filter(same);
  if (constant.length < rest().length)
    for (const one of constant)
      leave(one, "the same in every row", `${named(one)} says the same in every row and was left out.`);
  const twinsOf = (isAsked: (one: Series) => boolean) =>
    areEdges(block) ? densitiesOf(rest(), { columns, sizesUm, isAsked }) : [];
  // A density in classes of one ratio goes along with shares: a sum would pass for the sum of it.
  for (const [one, what] of twinsOf(saysDensity)) leave(one, what.left, `${named(one)} ${what.words}`);
  const { edge, same: twins } = sameCurves(rest(), columns, rises(sizesUm[0] ?? []));
  for (const [one, what] of twins) leave(one, what.left, `${named(one)} ${what.words}`);
  for (const [one, what] of twinsOf(() => true)) leave(one, what.left, `${named(one)} ${what.words}`);
  for (const [one, what] of derivedOf(rest(), columns)) leave(one, what.left, `${named(one)} ${what.words}`);
  return { series: rest(), remarks, edge, left };
}

const nothing = numberColumn([], []);

function columnOf(one: Series, parsed: Parsed): NumberColumn {
  if (one.numbers !== undefined) return plainColumn(one.numbers.values, one.numbers.decimals);
  const values: number[] = [];
  const written: string[] = [];
  for (const { text } of one.cells) {
    const share = parsed.share(text);
    const isNothing = share === null && parsed.isNothing(text);
    values.push(share ?? (isNothing ? 0 : Number.NaN));
    if (!isNothing) written.push(text);
  }
  return numberColumn(written, values);
}

/** So many figures may stand before the runs that they are of. */
const maxAhead = 3;

/** Means and spreads of the other columns, under any name that the numbers bear out, or under a name that says nothing else. */
function derivedOf(
  series: readonly Series[],
  columns: ReadonlyMap<Series, NumberColumn>,
): ReadonlyMap<Series, LeftOut> {
  const found = new Map<Series, LeftOut>();
  const spreads = new Set(series.filter((s) => isSpreadName(s.heading)));
  const means = new Set(series.filter((s) => isMeanName(s.heading)));
  const places = new Map(series.map((s, i) => [s, i] as const));
  const placeOf = (s: Series) => places.get(s) ?? -1;
  const plainOf = (list: readonly Series[]) => list.filter((s) => !found.has(s) && !spreads.has(s));
  const numbersOf = (list: readonly Series[]) => list.flatMap((s) => columns.get(s) ?? []);
  for (const one of series.length <= maxCompared ? series : [...means]) {
    const column = columns.get(one);
    if (column === undefined || spreads.has(one)) continue;
    const rest = plainOf(series).filter((s) => s !== one);
    const before = rest.filter((s) => placeOf(s) < placeOf(one));
    const isNamed = means.has(one);
    const named = [rest, before, rest.filter((s) => !means.has(s))];
    // Figures may stand before their runs, behind other figures.
    const behind = rest.slice(before.length);
    const ahead = placeOf(one) < maxAhead ? [behind, behind.slice(1), behind.slice(2)] : [];
    for (const list of [...(isNamed ? named : [before]), ...ahead]) {
      // Runs may be shown through a per cent format and their mean not, or the other way.
      const scale = (hasSigns(list[0]) ? 100 : 1) / (hasSigns(one) ? 100 : 1);
      const others = numbersOf(list);
      const kind =
        derivedFrom(column, others, isNamed) ??
        (scale === 1 ? null : derivedFrom(scaledBy(column, scale), others, isNamed));
      // What is least or most of those behind it may be a run that happens to be.
      if (kind === null || (ahead.includes(list) && (kind === "least" || kind === "most"))) continue;
      found.set(one, { left: `the ${kind}`, words: derivedWords(kind, list.length) });
      break;
    }
  }
  for (const one of series)
    if (spreads.has(one) && !found.has(one))
      found.set(one, {
        left: "a spread",
        words: "is a spread of the others, not a measurement, and was left out.",
      });
  return found;
}

function hasSigns(one: Series | undefined): boolean {
  return (
    one !== undefined && one.cells.filter(({ text }) => /[%％]$/.test(text)).length >= one.cells.length / 2
  );
}

function derivedWords(kind: RowFigure, count: number): string {
  const what = {
    mean: "equals the average of",
    least: "equals the least of",
    most: "equals the most of",
    spread: "equals the standard deviation of",
    "relative spread": "equals the coefficient of variation of",
  }[kind];
  return `${what} ${count} others and was left out of the runs.`;
}

/** Whether the sizes are edges for sure: sums at mids are sums at other sizes than those that stand there. */
function areEdges({ sizes, sizeHeading }: Block): boolean {
  const edge = edgeOf(sizeHeading);
  return sizes.length === 2 || edge === "upper" || edge === "lower";
}

function saysDensity({ heading }: Series): boolean {
  return valuesIn(heading)?.startsWith("density") === true;
}

function rises(sizesUm: readonly number[]): boolean {
  const read = sizesUm.filter(Number.isFinite);
  const [first = 0, last = first] = [read[0], read.at(-1)];
  return first <= last;
}
