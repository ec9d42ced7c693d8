import { itemAt, maxOf, minOf } from "#distributions/lists.ts";
import { addsToWhole } from "#distributions/tables/layout/wholes.ts";
import { figuresIn } from "#distributions/tables/text/numbers.ts";

/** A column of values as it is compared with others: in the order of its rows, with how finely it is written. */
export interface NumberColumn {
  readonly values: readonly number[];
  /** Half a step of the last decimal that is written. */
  readonly rounding: number;
  readonly total: number;
  readonly largest: number;
}

export function numberColumn(texts: readonly string[], values: readonly number[]): NumberColumn {
  return plainColumn(
    values,
    texts.reduce((most, text) => Math.max(most, figuresIn(text)), 0),
  );
}

/** @param decimals  with which the finest of them is written */
export function plainColumn(values: readonly number[], decimals: number): NumberColumn {
  let [total, largest] = [0, Number.NEGATIVE_INFINITY];
  for (const value of values) {
    total += value;
    largest = Math.max(largest, value);
  }
  return { values, rounding: 0.5 * 10 ** -decimals, total, largest };
}

/** The same column in another scale, as fractions beside per cents. */
export function scaledBy(column: NumberColumn, factor: number): NumberColumn {
  return {
    values: column.values.map((v) => v * factor),
    rounding: column.rounding * factor,
    total: column.total * factor,
    largest: column.largest * factor,
  };
}

/** What a column makes of another: its running sum (with or without the row's own share), or what is left of the whole. */
export type RunningSum = "sum with" | "sum before" | "rest with" | "rest behind";

const fewest = 4;

/**
 * Whether one column sums up another down its rows, in per cent, as a fraction or in the shares' own scale, within the
 * rounding of both.
 *
 * @param isNamed  whether its heading says so too; then fewer rows and coarser rounding will do
 */
export function runningSumOf(sums: NumberColumn, shares: NumberColumn, isNamed: boolean): RunningSum | null {
  const { total } = shares;
  const count = shares.values.length;
  if (count < (isNamed ? 3 : fewest) || !(total > 0) || shares.values.some((v) => !(v >= 0))) return null;
  const end = Math.max(itemAt(sums.values, 0), itemAt(sums.values, -1));
  const whole = [1, 100, total].find((w) => Math.abs(end / w - 1) <= 0.6);
  if (whole === undefined) return null;
  for (const scale of new Set([whole, 1, 100, total])) {
    const slack = isNamed
      ? 0.006
      : sums.rounding / scale + (0.7 * Math.sqrt(count) * shares.rounding + shares.rounding) / total + 1e-4;
    let before = 0;
    const isStill: Record<RunningSum, boolean> = {
      "sum with": true,
      "sum before": true,
      "rest with": true,
      "rest behind": true,
    };
    for (const [i, share] of shares.values.entries()) {
      const at = itemAt(sums.values, i) / scale;
      const withIt = before + share / total;
      if (!(Math.abs(at - withIt) <= slack)) isStill["sum with"] = false;
      if (!(Math.abs(at - before) <= slack)) isStill["sum before"] = false;
      if (!(Math.abs(at - (1 - before)) <= slack)) isStill["rest with"] = false;
      if (!(Math.abs(at - (1 - withIt)) <= slack)) isStill["rest behind"] = false;
      before = withIt;
    }
    for (const kind of ["sum with", "sum before", "rest with", "rest behind"] as const)
      if (isStill[kind]) return kind;
  }
  return null;
}

/** Whether two columns are one less the other, row by row, as undersize and oversize of one curve are. */
export function isComplement(a: NumberColumn, b: NumberColumn): boolean {
  const slack = a.rounding + b.rounding + 1e-9;
  return [1, 100].some(
    (whole) =>
      a.values.length >= fewest &&
      a.values.every((v, i) => Math.abs(v + itemAt(b.values, i) - whole) <= slack * 1.2) &&
      new Set(a.values).size > 2,
  );
}

/** Whether a column is another in another scale: counts beside per cents, fractions beside per cents. */
export function isRescaled(a: NumberColumn, b: NumberColumn): boolean {
  const [sumA, sumB] = [a.total, b.total];
  if (!(sumA > 0 && sumB > 0) || a.values.length < fewest) return false;
  if (Math.abs(sumA / sumB - 1) < 0.05 || new Set(a.values).size < 3) return false;
  const step = 1.2 * (a.rounding / sumA + b.rounding / sumB);
  // The totals are rounded as well, which moves large shares most.
  const ofTotals = step * Math.sqrt(a.values.length) + sixFigures;
  return a.values.every((v, i) => {
    const share = v / sumA;
    return Math.abs(share - itemAt(b.values, i) / sumB) <= step + ofTotals * share + 1e-6;
  });
}

/** Whether a column holds 1, 2, 3 … or 0, 1, 2 …: rows counted, nothing measured. */
export function isCounter({ values }: NumberColumn): boolean {
  if (values.length < 3) return false;
  const list = itemAt(values, 0) > itemAt(values, -1) ? values.toReversed() : values;
  const [first] = list;
  return (first === 0 || first === 1) && list.every((v, i) => v === first + i);
}

/** Whether a column goes on counting from any number, as on a second page; beside sizes only. */
export function isRunningNumber({ values }: NumberColumn): boolean {
  const [first, second] = values;
  if (values.length < 4 || first === undefined || second === undefined || !Number.isInteger(first))
    return false;
  const step = second - first;
  return Math.abs(step) === 1 && values.every((v, i) => v === first + i * step);
}

/** Whether a column says the same in every row, and no share could: a whole in equal parts is one. */
export function isConstant({ values }: NumberColumn): boolean {
  return values.length >= fewest && new Set(values).size === 1 && !addsToWhole(values);
}

/** What a column is of several others, row by row. */
export type RowFigure = "mean" | "least" | "most" | "spread" | "relative spread";

/** How far numbers of six figures may lie apart that were rounded on their own. */
const sixFigures = 1.5e-5;

const ways: readonly (readonly [RowFigure, (list: readonly number[]) => number])[] = [
  ["mean", mean],
  ["least", (list) => minOf(list)],
  ["most", (list) => maxOf(list)],
  ["spread", (list) => spread(list, list.length - 1)],
  ["spread", (list) => spread(list, list.length)],
  ["relative spread", (list) => (100 * spread(list, list.length - 1)) / (mean(list) || 1)],
];

/** So many rows must differ by more than rounding before numbers alone prove a mean. */
const provingRows = 4;

/**
 * How a column follows from the others, within rounding; null where it does not.
 * @param isNamed  whether its name says so too; else the others must differ enough for the numbers to prove it
 */
export function derivedFrom(
  one: NumberColumn,
  others: readonly NumberColumn[],
  isNamed: boolean,
): RowFigure | null {
  if (others.length < 2 || one.values.length < (isNamed ? 1 : fewest)) return null;
  const rowAt = (i: number) => others.map((o) => itemAt(o.values, i));
  const rounding = others.reduce((most, o) => Math.max(most, o.rounding), 0);
  // Columns of quite another size are no runs of one powder.
  const tops = others.map((o) => o.largest);
  const isUneven = !(maxOf(tops) <= 25 * minOf(tops));
  // Where a column is largest it shows soonest that it does not follow: at its ends all may be nothing.
  const peak = Math.max(0, one.values.indexOf(one.largest));
  const atPeak = rowAt(peak);
  for (const [kind, way] of ways) {
    if (!isNamed && isUneven && (kind === "least" || kind === "most")) continue;
    const slack = one.rounding + (kind === "relative spread" ? 60 : 1.5) * rounding;
    const isClose = (made: number, given: number) =>
      Math.abs(made - given) <=
      (isNamed && kind === "mean"
        ? 0.006 * Math.max(1, Math.abs(made))
        : slack + sixFigures * Math.abs(made));
    if (!isClose(way(atPeak), itemAt(one.values, peak))) continue;
    if (!one.values.every((given, i) => isClose(way(rowAt(i)), given))) continue;
    const differs = (i: number) => {
      const row = rowAt(i);
      return maxOf(row) - minOf(row) > 6 * (rounding + one.rounding);
    };
    const proving = isNamed ? provingRows : one.values.filter((_, i) => differs(i)).length;
    if (proving >= provingRows) return kind;
  }
  return null;
}

function mean(list: readonly number[]): number {
  return list.reduce((a, b) => a + b, 0) / list.length;
}

function spread(list: readonly number[], divisor: number): number {
  const middle = mean(list);
  return Math.sqrt(list.reduce((sum, v) => sum + (v - middle) ** 2, 0) / divisor);
}
