import { itemAt } from "#distributions/lists.ts";
import {
  isComplement,
  isRescaled,
  type NumberColumn,
  type RunningSum,
  runningSumOf,
} from "#distributions/tables/layout/sameCurve.ts";
import { addsToWhole } from "#distributions/tables/layout/wholes.ts";
import type { EdgeOption } from "#distributions/tables/text/readingOptions.ts";
import { valuesIn } from "#distributions/tables/text/words.ts";
import type { Series } from "./block.ts";

/** What a series is that is no measurement, and the words behind its name that say so. */
export interface LeftOut {
  readonly left: string;
  readonly words: string;
}

/** Which edge the sizes are, and what shows it. */
export interface EdgeShown {
  readonly edge: EdgeOption;
  readonly why: string;
}

/** More columns than this are compared with the nearest ones alone. */
export const maxCompared = 60;
const nearestCompared = 4;

/** Columns that are one curve written twice: its running sum, its rest, another scale. */
export function sameCurves(
  series: readonly Series[],
  columns: ReadonlyMap<Series, NumberColumn>,
  isRising: boolean,
): { readonly edge: EdgeShown | null; readonly same: ReadonlyMap<Series, LeftOut> } {
  const left = new Map<Series, LeftOut>();
  let edge: EdgeShown | null = null;
  const reach = series.length <= maxCompared ? series.length : nearestCompared;
  for (const [at, one] of series.entries()) {
    const sums = columns.get(one);
    if (sums === undefined || !isOneWay(sums.values)) continue;
    const said = valuesIn(one.heading);
    const isNamed = said === "undersize" || said === "oversize";
    for (const other of nearestFirst(series, at, reach)) {
      const shares = columns.get(other);
      if (left.has(other) || shares === undefined) continue;
      const kind = runningSumOf(sums, shares, isNamed);
      if (kind === null) continue;
      const found = edgeShown(kind, isRising);
      left.set(one, {
        left: `the running sum of "${other.heading}"`,
        words: `adds up "${other.heading}" and was left out as the same measurement; it shows that the sizes are ${found} edges.`,
      });
      edge ??= { edge: found, why: "the cumulative column beside the shares" };
      break;
    }
  }
  for (const [at, one] of series.entries()) {
    const twin = left.has(one)
      ? null
      : twinOf(
          one,
          series.slice(Math.max(0, at - reach), at).filter((s) => !left.has(s)),
          columns,
          isRising,
        );
    if (twin === null) continue;
    left.set(twin.gone, {
      left: twin.what,
      words: `${twin.words} and was left out as the same measurement.`,
    });
  }
  return { edge, same: left };
}

/** A column before this one that is its rest to the whole, or the same in another scale; and which of the two is left out. */
function twinOf(
  one: Series,
  before: readonly Series[],
  columns: ReadonlyMap<Series, NumberColumn>,
  isRising: boolean,
): { gone: Series; what: string; words: string } | null {
  const a = columns.get(one);
  if (a === undefined) return null;
  for (const other of before) {
    const b = columns.get(other);
    if (b === undefined) continue;
    if (isComplement(a, b)) {
      // Undersize is kept, whichever stands first.
      const [kept, gone] = runsUp(a.values) === isRising ? [one, other] : [other, one];
      return {
        gone,
        what: `the rest of "${kept.heading}"`,
        words: `is what "${kept.heading}" leaves of the whole`,
      };
    }
    if (isRescaled(a, b)) {
      // Shares that are whole are kept, else the more finely written.
      const fine = ({ total, rounding }: NumberColumn) => total / rounding;
      const isWhole = addsToWhole(a.values);
      const isKept = isWhole === addsToWhole(b.values) ? fine(a) > 1.01 * fine(b) : isWhole;
      const [kept, gone] = isKept ? [one, other] : [other, one];
      return {
        gone,
        what: `another scale of "${kept.heading}"`,
        words: `is "${kept.heading}" in another scale`,
      };
    }
  }
  return null;
}

/** The series about one, those before it first where they are as near. */
function nearestFirst(series: readonly Series[], at: number, reach: number): Series[] {
  const near: Series[] = [];
  for (let away = 1; away <= reach; away++) {
    const [before, behind] = [series[at - away], series[at + away]];
    if (before !== undefined) near.push(before);
    if (behind !== undefined) near.push(behind);
  }
  return near;
}

function isOneWay(values: readonly number[]): boolean {
  const slack = 1e-9;
  return (
    values.every((v, i) => i === 0 || v >= (values[i - 1] ?? v) - slack) ||
    values.every((v, i) => i === 0 || v <= (values[i - 1] ?? v) + slack)
  );
}

function runsUp(values: readonly number[]): boolean {
  return values.length > 0 && itemAt(values, 0) < itemAt(values, -1);
}

/**
 * Undersize at a size holds the class below it, oversize the class above: a sum that holds the row's own share stands at
 * the edge that the row's class lies before, in the order of its rows.
 */
function edgeShown(kind: RunningSum, isRising: boolean): "upper" | "lower" {
  const isOwnBelow = kind === "sum with" || kind === "rest behind";
  return isOwnBelow === isRising ? "upper" : "lower";
}
