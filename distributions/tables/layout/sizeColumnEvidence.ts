import { itemAt, maxOf, minOf } from "#distributions/lists.ts";
import { edgeOf } from "#distributions/tables/text/claims.ts";
import type { Parsed } from "#distributions/tables/text/parsed.ts";
import { foreignUnitIn, unitIn } from "#distributions/tables/text/units.ts";
import { saysClassValues, saysMid, saysShares, saysSize } from "#distributions/tables/text/words.ts";
import type { Column } from "./block.ts";
import { isCounter, numberColumn } from "./sameCurve.ts";

/** One thing that speaks for or against a column being the sizes. */
export interface SizeEvidence {
  readonly weight: number;
  readonly words: string;
}

/**
 * What speaks for and against a column holding the sizes. Numbers weigh as much as words: sizes step by ratios, shares
 * end at a whole, and 1, 2, 3 … counts rows.
 *
 * @param isFirst  whether no other column that runs in order stands before it
 */
export function sizeColumnEvidence(column: Column, parsed: Parsed, isFirst: boolean): SizeEvidence[] {
  const { heading, cells } = column;
  const texts = cells.map((cell) => cell.text);
  const found: SizeEvidence[] = [];
  const add = (weight: number, words: string) => found.push({ weight, words });
  const ranges = texts.filter((text) => parsed.range(text) !== null).length;
  if (ranges >= Math.max(1, texts.length - 2)) add(9, "each cell holds two sizes");
  const isSize = saysSize(heading);
  const isShare = saysShares(heading) || (saysClassValues(heading) && !saysMid(heading));
  if (isSize && !isShare) add(4, "the heading speaks of sizes");
  if (isSize && isShare) add(1, "the heading speaks of sizes and of shares");
  if (isShare && !isSize) add(-5, "the heading speaks of shares");
  if ((unitIn(heading) ?? foreignUnitIn(heading)) !== null && !isShare)
    add(3, "the heading has a unit of length");
  if (isSize && !isShare && edgeOf(heading) !== null) add(2, "the heading says which edge they are");
  if (saysMid(heading)) add(-4, "the heading speaks of mids");
  if (isFirst) add(1.5, "it is the first that runs in order");
  const values = texts.flatMap((text) => parsed.share(text) ?? []);
  if (values.length === texts.length) {
    if (isCounter(numberColumn(texts, values)))
      add(isSize && !/class|bin|channel/i.test(heading) ? -1 : -8, "it counts the rows");
    if (endsAtWhole(values)) add(-2.5, "it ends at 1 or 100, as cumulative shares do");
    if (stepsByRatio(values)) add(2, "it steps by a constant ratio");
  }
  return found;
}

function endsAtWhole(values: readonly number[]): boolean {
  const [high, low] = [maxOf(values), minOf(values)];
  return [1, 100].some((whole) => Math.abs(high / whole - 1) <= 0.002) && low >= 0 && low < 0.2 * high;
}

/** How far steps may stray from a constant ratio and still look like sizes. */
const stray = 0.2;

function stepsByRatio(values: readonly number[]): boolean {
  if (values.length < 4) return false;
  const [first, last] = [itemAt(values, 0), itemAt(values, -1)];
  if (!(first > 0 && last > 0)) return false;
  const ratio = Math.log(last / first) / (values.length - 1);
  return values.every((v, i) => {
    const before = values[i - 1];
    return before === undefined || Math.abs(Math.log(v / before) / ratio - 1) <= stray * 3;
  });
}
