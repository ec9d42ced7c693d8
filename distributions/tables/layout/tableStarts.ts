import { itemAt, zip } from "#distributions/lists.ts";
import { sizeColumnEvidence } from "#distributions/tables/layout/sizeColumnEvidence.ts";
import { claimsOf, edgeOf as edgeIn } from "#distributions/tables/text/claims.ts";
import { wordsIn } from "#distributions/tables/text/lexicon.ts";
import { unitIn } from "#distributions/tables/text/units.ts";
import {
  namesSizes,
  saysClassValues,
  saysMid,
  saysShares,
  saysSize,
} from "#distributions/tables/text/words.ts";
import type { Column, Grid } from "./block.ts";

import { areEdges, filled, isRun, type SizeColumns, same } from "./sizeColumns.ts";

/** Where each of the tables has its sizes; the shorter of them, which ends in blank cells, may be the left one. */
export function startsOf(columns: readonly Column[], sizes: SizeColumns, grid: Grid): SizeColumns[] {
  const first = columns[sizes.from];
  if (first === undefined) return [];
  const apart = (sizes.to ?? sizes.from) - sizes.from;
  const starts: SizeColumns[] = [];
  const areRanges = isOfRanges(first, grid);
  /** Headings of columns further left that begin no table: "sieve cut A" over values, too, is a name. */
  const ofValues = new Set<string>();
  for (const c of columns) {
    const last = starts.at(-1);
    if (last !== undefined && c.index <= last.from + apart) continue;
    const letters = c.heading.toLowerCase();
    if (!isStart(c)) {
      if (letters !== "") ofValues.add(letters);
      continue;
    }
    starts.push({ from: c.index, to: sizes.to === null ? null : c.index + apart });
  }
  return starts;

  /** Whether the same name stands in the next table too, as far behind its sizes: a measurement, whatever it is called. */
  function isNameAgain({ heading, index }: Column): boolean {
    if (first === undefined || first.heading === "" || unitIn(heading) !== null) return false;
    const next = columns.find((c) => c.index > index && same(c.heading, first.heading));
    const before = starts.at(-1);
    if (next === undefined || before === undefined || heading === "") return false;
    return same(columns[index + next.index - before.from]?.heading ?? "", heading);
  }

  function isStart(c: Column): boolean {
    // Most columns run neither up nor down, which is seen in their first rows.
    if (first === undefined || !isRun(filled(c), grid)) return false;
    if (areRanges || isOfRanges(c, grid)) return areRanges && isOfRanges(c, grid);
    // Sizes stand right beside each other in no two tables: two columns may have one name.
    if (sizes.to === null && c.index - 1 === starts.at(-1)?.from) return false;
    const isSame =
      first.heading === "" ? isBareStart(columns, c, first, grid) : same(c.heading, first.heading);
    if (isSame) return true;
    if (ofValues.has(c.heading.toLowerCase()) || isNameAgain(c)) return false;
    const last = starts.at(-1);
    const table = last ?? sizes;
    const before = { from: table.from, to: table.to ?? table.from };
    const isOwn =
      sizes.to === null ? hasOwnSizes(columns, c, first, grid) : hasOwnEdges(columns, c.index, sizes, grid);
    return isOwn || isOtherTable(columns, c, before, grid);
  }
}

/** Whether each cell holds two sizes: then no other column but one of ranges begins a table. */
function isOfRanges(column: Column, { parsed }: Grid): boolean {
  const { cells } = filled(column);
  const ranges = cells.filter(({ text }) => parsed.range(text) !== null).length;
  return ranges >= Math.max(1, cells.length - 2);
}

/**
 * Under other words, or the left one under none that repeat: sizes that are not those of the table before, nor its other
 * edges or mids, with values behind them.
 */
function isOtherTable(
  columns: readonly Column[],
  c: Column,
  before: { readonly from: number; readonly to: number },
  grid: Grid,
): boolean {
  const from = columns[before.from];
  if (from === undefined || c === from || columns.length > maxSideBySide) return false;
  const own = filled(c);
  if (own.cells.length < 3 || !isRun(own, grid)) return false;
  const weigh = (column: Column) =>
    sizeColumnEvidence(filled(column), grid.parsed, false).reduce((sum, e) => sum + e.weight, 0);
  const isOwnLength = own.cells.length !== filled(from).cells.length;
  const haveUnits = own.cells.every(({ text }) => (grid.parsed.size(text)?.unit ?? null) !== null);
  const bonus =
    (saysMid(c.heading) && saysMid(from.heading) ? 4 : 0) + (isOwnLength ? 3 : 0) + (haveUnits ? 4 : 0);
  const isOfValues = claimsOf(c.heading).values.length > 0 && !saysMid(c.heading);
  if (saysShares(c.heading) || isOfValues || weigh(own) + bonus < 4) return false;
  const second = columns[before.to];
  const valuesOf = (column: Column) => column.cells.map(({ text }) => grid.parsed.um(text));
  const [mine, low, high] = [valuesOf(c), valuesOf(from), valuesOf(second ?? from)];
  const known = zip(mine, low)
    .map(([v, l]) => v / l)
    .filter(Number.isFinite);
  const isSameSizes = known.length > 2 && known.every((r) => Math.abs(r / (known[0] ?? r) - 1) <= 0.002);
  const isBetween = mine.every(
    (v, i) => !Number.isFinite(v) || (v - itemAt(low, i)) * (itemAt(high, i) - v) >= 0,
  );
  if (isSameSizes || (second !== from && isBetween) || areEdges(from, c, grid) || areEdges(c, from, grid))
    return false;
  const isShare = (one: Column) =>
    filled(one).cells.length > 2 && (weigh(one) < 4 || !isRun(filled(one), grid));
  const [left, right] = c.index < from.index ? [c, from] : [from, c];
  return (
    columns.slice(left.index + 1, right.index).some(isShare) && columns.slice(right.index + 1).some(isShare)
  );
}
const maxSideBySide = 60;

/** Without a heading: a column that looks as much like sizes as the first, with values on either side. */
function isBareStart(columns: readonly Column[], c: Column, first: Column, grid: Grid): boolean {
  if (c.index === first.index) return true;
  const own = filled(c);
  if (c.heading !== "" || !isRun(own, grid)) return false;
  const weight = sizeColumnEvidence(own, grid.parsed, false).reduce((sum, e) => sum + e.weight, 0);
  const isFilled = (from: number, to?: number) =>
    columns.slice(from, to).some((one) => filled(one).cells.length > 0);
  const [left, right] = c.index < first.index ? [c, first] : [first, c];
  return weight > 0 && isFilled(left.index + 1, right.index) && isFilled(right.index + 1);
}

/** Whether two columns speak of the same edges as the first table's two: "A lower um" and "A upper um" beside "B lower um". */
function hasOwnEdges(columns: readonly Column[], from: number, sizes: SizeColumns, grid: Grid): boolean {
  // Beside each other the words are told apart by what they share, also in a name.
  const sideAt = (at: number) =>
    wordsIn(columns[at]?.heading ?? "")
      .flatMap((w) =>
        w.meanings.includes("upper") ? ["upper"] : w.meanings.includes("lower") ? ["lower"] : [],
      )
      .at(-1);
  const second = sizes.to ?? sizes.from;
  if ([from, from + second - sizes.from].some((at) => saysShares(columns[at]?.heading ?? ""))) return false;
  const [own, other] = [columns[from], columns[from + second - sizes.from]].map((c) =>
    c === undefined ? c : filled(c),
  );
  const arePaired = own !== undefined && other !== undefined && own.cells.length === other.cells.length;
  if (arePaired && isRun(own, grid) && areEdges(own, other, grid)) return true;
  const isEdge = sideAt(sizes.from) !== undefined && sideAt(from) === sideAt(sizes.from);
  return isEdge && sideAt(second) !== undefined && sideAt(from + second - sizes.from) === sideAt(second);
}

/**
 * Whether a column with another heading holds the sizes of a table of its own: in the same unit and of the same edge,
 * not those of the first, with values on either side. "Size B" beside "Size A"; not a mid, nor the other edge.
 */
function hasOwnSizes(columns: readonly Column[], c: Column, first: Column, grid: Grid): boolean {
  if (!saysSize(c.heading) || saysShares(c.heading) || saysMid(c.heading)) return false;
  // "class A" heads shares as well, beside sizes that are named.
  if (namesSizes(first.heading) && !namesSizes(c.heading)) return false;
  if (saysClassValues(c.heading)) return false;
  if (unitIn(c.heading) !== unitIn(first.heading) || edgeIn(c.heading) !== edgeIn(first.heading))
    return false;
  const textsOf = (column: Column) => filled(column).cells.map(({ text }) => text);
  const hasValues = (from: number, to?: number) =>
    columns.slice(from, to).some((one) => one.cells.some(({ text }) => grid.parsed.share(text) !== null));
  const [left, right] = c.index < first.index ? [c, first] : [first, c];
  return (
    c.index === first.index ||
    (textsOf(c).join("\t") !== textsOf(first).join("\t") &&
      hasValues(left.index + 1, right.index) &&
      hasValues(right.index + 1))
  );
}
