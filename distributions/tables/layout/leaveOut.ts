import { type Problem, problem } from "#distributions/problem.ts";
import {
  type Derived,
  derivedFrom,
  isComplement,
  isCounter,
  isRescaled,
  type NumberColumn,
  numberColumn,
  type RunningSum,
  runningSumOf,
} from "#distributions/tables/evidence/sameCurve.ts";
import { addsToWhole } from "#distributions/tables/evidence/shares.ts";
import { type DecimalMark, saysNothing, shareIn } from "#distributions/tables/text/numbers.ts";
import type { EdgeOption } from "#distributions/tables/text/readingOptions.ts";
import { sizeIn } from "#distributions/tables/text/sizeText.ts";
import { isMeanName, isSpreadName, valuesIn } from "#distributions/tables/text/words.ts";
import type { Block, Series } from "./block.ts";

/** The series that are measurements, and what the others tell. */
export interface WithoutDerived {
  readonly series: readonly Series[];
  readonly remarks: readonly Problem[];
  /** A cumulative column beside the shares tells which edge its sizes are. */
  readonly edge: { readonly edge: EdgeOption; readonly why: string } | null;
  /** What each series is that is no measurement. */
  readonly left: ReadonlyMap<Series, string>;
}

/** More columns than this are compared with the nearest ones alone. */
const mostCompared = 60;

/** Counters, means, spreads, running sums and other scales of the other columns are no measurements of their own. */
export function withoutDerived(block: Block, mark: DecimalMark, file: string | null): WithoutDerived {
  const { series } = block;
  if (series.length < 2) return { series, remarks: [], edge: null, left: new Map() };
  const columns = new Map(series.map((one) => [one, columnOf(one, mark)] as const));
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
    if (column !== undefined && isCounter(column))
      leave(one, "a counter", `${named(one)} counts the rows and was left out.`);
  }
  const edge = sameCurves(block, columns, leave, rest(), mark);
  for (const [one, what] of derivedOf(rest(), columns)) leave(one, what.left, `${named(one)} ${what.words}`);
  return { series: rest(), remarks, edge, left };
}

function columnOf(one: Series, mark: DecimalMark): NumberColumn {
  const texts = one.cells.map((cell) => cell.text);
  return numberColumn(
    texts,
    texts.map((text) => shareIn(text, mark) ?? (saysNothing(text) ? 0 : Number.NaN)),
  );
}

/** Means and spreads of the other columns, under any name that the numbers bear out, or under a name that says nothing else. */
function derivedOf(
  series: readonly Series[],
  columns: ReadonlyMap<Series, NumberColumn>,
): (readonly [Series, { left: string; words: string }])[] {
  const found = new Map<Series, { left: string; words: string }>();
  const plainOf = (list: readonly Series[]) => list.filter((s) => !found.has(s) && !isSpreadName(s.heading));
  const numbersOf = (list: readonly Series[]) => list.flatMap((s) => columns.get(s) ?? []);
  for (const one of series.length <= mostCompared ? series : series.filter((s) => isMeanName(s.heading))) {
    const column = columns.get(one);
    if (column === undefined || isSpreadName(one.heading)) continue;
    const others = plainOf(series).filter((s) => s !== one);
    const before = others.filter((s) => series.indexOf(s) < series.indexOf(one));
    const isNamed = isMeanName(one.heading);
    // What has another name and stands before the others is a run, whatever it happens to be of them.
    const lists = isNamed ? [others, before, others.filter((s) => !isMeanName(s.heading))] : [before];
    for (const list of lists) {
      const kind = derivedFrom(column, numbersOf(list), isNamed);
      if (kind === null) continue;
      found.set(one, { left: `the ${kind}`, words: derivedWords(kind, list.length) });
      break;
    }
  }
  for (const one of series)
    if (isSpreadName(one.heading) && !found.has(one))
      found.set(one, {
        left: "a spread",
        words: "is a spread of the others, not a measurement, and was left out.",
      });
  return [...found];
}

function derivedWords(kind: Derived, count: number): string {
  const what = {
    mean: "equals the average of",
    least: "equals the least of",
    most: "equals the most of",
    spread: "equals the standard deviation of",
    "relative spread": "equals the coefficient of variation of",
  }[kind];
  return `${what} ${count} others and was left out of the runs.`;
}

/** Columns that are one curve written twice: its running sum, its rest, another scale. */
function sameCurves(
  block: Block,
  columns: ReadonlyMap<Series, NumberColumn>,
  leave: (one: Series, what: string, message: string) => void,
  series: readonly Series[],
  mark: DecimalMark,
): WithoutDerived["edge"] {
  let edge: WithoutDerived["edge"] = null;
  const left = new Set<Series>();
  const isRising = rises(block, mark);
  const near = (at: number) => series.slice(Math.max(0, at - mostCompared), at + mostCompared);
  for (const [at, one] of series.entries()) {
    const sums = columns.get(one);
    if (sums === undefined || !isOneWay(sums.values)) continue;
    for (const other of nearestFirst(near(at), one)) {
      const shares = columns.get(other);
      if (left.has(other) || shares === undefined) continue;
      const said = valuesIn(one.heading);
      const kind = runningSumOf(sums, shares, said === "undersize" || said === "oversize");
      if (kind === null) continue;
      const found = edgeShown(kind, isRising);
      left.add(one);
      leave(
        one,
        `the running sum of "${other.heading}"`,
        `Column "${one.heading}" adds up "${other.heading}" and was left out as the same measurement; it shows that the sizes are ${found} edges.`,
      );
      edge ??= { edge: found, why: "the cumulative column beside the shares" };
      break;
    }
  }
  for (const [at, one] of series.entries()) {
    const a = columns.get(one);
    if (left.has(one) || a === undefined) continue;
    for (const other of near(at)) {
      const b = columns.get(other);
      if (other === one || left.has(other) || b === undefined) continue;
      if (series.indexOf(other) < at && isComplement(a, b)) {
        // Undersize is kept, whichever stands first.
        const [kept, gone] = runsUp(a.values) === isRising ? [one, other] : [other, one];
        left.add(gone);
        leave(
          gone,
          `the rest of "${kept.heading}"`,
          `Column "${gone.heading}" is what "${kept.heading}" leaves of the whole and was left out as the same measurement.`,
        );
        break;
      }
      if (series.indexOf(other) < at && isRescaled(a, b)) {
        // Shares that are whole are kept, else the more finely written.
        const isWholeA = addsToWhole(a.values);
        const fine = ({ values, rounding }: NumberColumn) => values.reduce((x, y) => x + y, 0) / rounding;
        const isKept = isWholeA === addsToWhole(b.values) ? fine(a) > 1.01 * fine(b) : isWholeA;
        const [kept, gone] = isKept ? [one, other] : [other, one];
        left.add(gone);
        leave(
          gone,
          `another scale of "${kept.heading}"`,
          `Column "${gone.heading}" is "${kept.heading}" in another scale and was left out as the same measurement.`,
        );
        break;
      }
    }
  }
  return edge;
}

function nearestFirst(series: readonly Series[], one: Series): Series[] {
  const at = series.indexOf(one);
  return series
    .filter((s) => s !== one)
    .toSorted((a, b) => Math.abs(series.indexOf(a) - at + 0.5) - Math.abs(series.indexOf(b) - at + 0.5));
}

function isOneWay(values: readonly number[]): boolean {
  const slack = 1e-9;
  return (
    values.every((v, i) => i === 0 || v >= (values[i - 1] ?? v) - slack) ||
    values.every((v, i) => i === 0 || v <= (values[i - 1] ?? v) + slack)
  );
}

function runsUp(values: readonly number[]): boolean {
  return (values[0] ?? 0) < (values.at(-1) ?? 0);
}

function rises({ sizes }: Block, mark: DecimalMark): boolean {
  const [list = []] = sizes;
  const of = (text: string | undefined) => sizeIn(text ?? "", mark)?.value ?? Number.NaN;
  return !(of(list[0]?.text) > of(list.at(-1)?.text));
}

/**
 * Undersize at a size holds the class below it, oversize the class above: a sum that holds the row's own share stands at
 * the edge that the row's class lies before, in the order of its rows.
 */
function edgeShown(kind: RunningSum, isRising: boolean): "upper" | "lower" {
  const isOwnBelow = kind === "sum with" || kind === "rest behind";
  return isOwnBelow === isRising ? "upper" : "lower";
}
