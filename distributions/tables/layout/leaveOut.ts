import { type Problem, problem } from "#distributions/problem.ts";
import { type DecimalMark, shareIn } from "#distributions/tables/text/numbers.ts";
import type { EdgeOption } from "#distributions/tables/text/readingOptions.ts";
import { isMeanName, isSpreadName, valuesIn } from "#distributions/tables/text/words.ts";
import type { Block, Series } from "./block.ts";

/** The series that are measurements, and what the others tell. */
export interface WithoutDerived {
  readonly series: readonly Series[];
  readonly remarks: readonly Problem[];
  /** A cumulative column beside the shares tells which edge its sizes are. */
  readonly edge: { readonly edge: EdgeOption; readonly why: string } | null;
}

/** Means, spreads and running sums of the other columns are no measurements of their own. */
export function withoutDerived(block: Block, mark: DecimalMark, file: string | null): WithoutDerived {
  const { series } = block;
  if (series.length < 2) return { series, remarks: [], edge: null };
  const remarks: Problem[] = [];
  const left = new Set<Series>();
  const leave = (one: Series, message: string) => {
    left.add(one);
    remarks.push(
      problem("note", message, { file, measurement: one.heading, column: one.at.column, row: one.at.row }),
    );
  };
  const numbers = (one: Series) => one.cells.map((cell) => shareIn(cell.text, mark) ?? Number.NaN);
  for (const one of series) {
    if (!isMeanName(one.heading)) continue;
    const others = series
      .filter((s) => s !== one && !isMeanName(s.heading) && !isSpreadName(s.heading))
      .map(numbers);
    if (others.length < 2) continue;
    const isMean = numbers(one).every((value, i) => {
      const mean = others.reduce((sum, values) => sum + (values[i] ?? 0), 0) / others.length;
      return Math.abs(value - mean) <= 0.006 * Math.max(1, Math.abs(mean));
    });
    if (isMean)
      leave(
        one,
        `Column "${one.heading}" equals the average of ${others.length} others and was left out of the runs.`,
      );
  }
  for (const one of series)
    if (isSpreadName(one.heading))
      leave(one, `Column "${one.heading}" is a spread of the others, not a measurement, and was left out.`);
  const edge = runningSums(
    series.filter((s) => !left.has(s)),
    numbers,
    leave,
  );
  return { series: series.filter((s) => !left.has(s)), remarks, edge };
}

/** A cumulative column that adds up the one before it, to each row or to the row before. */
function runningSums(
  series: readonly Series[],
  numbers: (one: Series) => number[],
  leave: (one: Series, message: string) => void,
): WithoutDerived["edge"] {
  let edge: WithoutDerived["edge"] = null;
  for (const [i, one] of series.entries()) {
    const before = series[i - 1];
    const kind = valuesIn(one.heading);
    if (before === undefined || (kind !== "undersize" && kind !== "oversize")) continue;
    const shares = numbers(before);
    const sums = numbers(one);
    const total = shares.reduce((a, b) => a + b, 0);
    const slack = 0.006 * Math.max(total, sums.at(-1) ?? 0);
    const runs = (from: (k: number) => number) =>
      sums.length > 2 && sums.every((q, k) => Math.abs(q - from(k)) <= slack);
    const upTo = (k: number) => shares.slice(0, k).reduce((a, b) => a + b, 0);
    const under = (with_: number) => (k: number) =>
      kind === "undersize" ? upTo(k + with_) : total - upTo(k + with_);
    if (!(total > 0)) continue;
    const isUpper = runs(under(1));
    const isLower = runs(under(0));
    const fallsUpper = runs((k) => (kind === "undersize" ? total - upTo(k) : upTo(k)));
    const fallsLower = runs((k) => (kind === "undersize" ? total - upTo(k + 1) : upTo(k + 1)));
    if (!isUpper && !isLower && !fallsUpper && !fallsLower) continue;
    const found = isUpper || fallsUpper ? ("upper" as const) : ("lower" as const);
    leave(
      one,
      `Column "${one.heading}" adds up "${before.heading}" and was left out as the same measurement; it shows that the sizes are ${found} edges.`,
    );
    edge = { edge: found, why: `the cumulative column beside the shares` };
  }
  return edge;
}
