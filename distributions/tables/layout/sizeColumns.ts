import { numberIn, shareIn } from "#distributions/tables/text/numbers.ts";
import { rangeIn, sizeIn } from "#distributions/tables/text/sizeText.ts";
import { edgeIn, saysMid, saysShares, saysSize, unitIn } from "#distributions/tables/text/words.ts";
import { type Cell, type Grid, isMonotone } from "./block.ts";

export interface Column {
  readonly heading: string;
  readonly index: number;
  readonly cells: readonly Cell[];
}

/** Where each of the tables has its sizes; the shorter of them, which ends in blank cells, may be the left one. */
export function startsOf(columns: readonly Column[], sizes: SizeColumns, grid: Grid): SizeColumns[] {
  const first = columns[sizes.from];
  if (first === undefined || first.heading === "") return [];
  const apart = (sizes.to ?? sizes.from) - sizes.from;
  const starts: SizeColumns[] = [];
  for (const c of columns) {
    const last = starts.at(-1);
    if (last !== undefined && c.index <= last.from + apart) continue;
    const isStart =
      same(c.heading, first.heading) ||
      (sizes.to === null ? hasOwnSizes(columns, c, first, grid) : hasOwnEdges(columns, c.index, sizes));
    if (isStart && isRun(filled(c), grid))
      starts.push({ from: c.index, to: sizes.to === null ? null : c.index + apart });
  }
  return starts;
}

/** Whether two columns speak of the same edges as the first table's two: "A lower um" and "A upper um" beside "B lower um". */
function hasOwnEdges(columns: readonly Column[], from: number, sizes: SizeColumns): boolean {
  const edgeAt = (at: number) => edgeIn(columns[at]?.heading ?? "");
  const second = sizes.to ?? sizes.from;
  const isEdge = edgeAt(sizes.from) !== null && edgeAt(from) === edgeAt(sizes.from);
  return isEdge && edgeAt(second) !== null && edgeAt(from + second - sizes.from) === edgeAt(second);
}

/**
 * Whether a column with another heading holds the sizes of a table of its own: in the same unit and of the same edge,
 * not those of the first, with values on either side. "Size B" beside "Size A"; not a mid, nor the other edge.
 */
function hasOwnSizes(columns: readonly Column[], c: Column, first: Column, grid: Grid): boolean {
  const isAlike = unitIn(c.heading) === unitIn(first.heading) && edgeIn(c.heading) === edgeIn(first.heading);
  if (!saysSize(c.heading) || saysShares(c.heading) || saysMid(c.heading) || !isAlike) return false;
  const textsOf = (column: Column) => filled(column).cells.map(({ text }) => text);
  const hasValues = (from: number, to?: number) =>
    columns.slice(from, to).some((one) => one.cells.some(({ text }) => shareIn(text, grid.mark) !== null));
  const [left, right] = c.index < first.index ? [c, first] : [first, c];
  return (
    c.index === first.index ||
    (textsOf(c).join("\t") !== textsOf(first).join("\t") &&
      hasValues(left.index + 1, right.index) &&
      hasValues(right.index + 1))
  );
}

/** Without the blank cells below the shorter of two tables. */
function filled(column: Column): Column {
  return { ...column, cells: column.cells.filter((cell) => cell.text !== "") };
}

function same(a: string, b: string): boolean {
  return a.toLowerCase() === b.toLowerCase();
}

/** Where the sizes stand, and where their second edges, if they have a column of their own. */
export interface SizeColumns {
  readonly from: number;
  readonly to: number | null;
}

/** Which column (or two) holds the sizes: the first that runs in order, one whose heading speaks of sizes first. */
export function sizeColumns(columns: readonly Column[], grid: Grid): SizeColumns {
  const near = columns.slice(0, 8);
  const lists = near.filter((c) => isRun(c, grid));
  const notCounters = lists.filter((c) => !isCounter(c, grid));
  const spoken = lists.filter((c) => saysSize(c.heading));
  const numeric = near.find(
    (c) => c.cells.filter((cell) => sizeIn(cell.text, grid.mark) !== null).length > c.cells.length / 2,
  );
  const isNamedCounter = (c: Column | undefined) =>
    c !== undefined &&
    isCounter(c, grid) &&
    (c.heading === "" || /^(no|nr|row|index|#|class|channel|bin|n)\.?$/i.test(c.heading));
  const plainFirst =
    lists.length > 1 && isNamedCounter(lists[0]) && notCounters.length > 0 ? notCounters[0] : lists[0];
  const chosen = (spoken.find((c) => !isNamedCounter(c)) ?? plainFirst ?? numeric ?? near[0])?.index ?? 0;
  const a = columns[chosen];
  // Mids may stand between the edges.
  const b = columns.slice(chosen + 1).find((c) => !(saysMid(c.heading) && isRun(c, grid)));
  if (a !== undefined && b !== undefined && columns.length > b.index + 1 && areEdges(a, b, grid))
    return { from: chosen, to: b.index };
  return { from: chosen, to: null };
}

/** Numbers that only rise or only fall, above zero: could be sizes. */
export function isRun(column: Column, grid: Grid): boolean {
  const values: number[] = [];
  for (const { text } of column.cells) {
    const size = sizeIn(rangeIn(text, grid.mark)?.from ?? text, grid.mark);
    if (size === null || size.value < -12) return false;
    // "<1" before 1, ">8" after 8: the open class shares its size with the one beside it.
    const value = size.value * scaleOf(size.unit, column.heading);
    if (size.open === "above" && values.at(-1) === value) continue;
    if (
      values.length === 1 &&
      values[0] === value &&
      sizeIn(column.cells[0]?.text ?? "", grid.mark)?.open === "below"
    )
      continue;
    values.push(value);
  }
  return values.length === 1 ? column.cells.length <= 2 : isMonotone(values);
}

const nmPer: Readonly<Record<string, number>> = { nm: 1, um: 1e3, mm: 1e6, m: 1e9 };

/** What brings sizes in units of their own to one. */
function scaleOf(unit: string | null, heading: string): number {
  return nmPer[unit ?? unitIn(heading) ?? "um"] ?? 1;
}

function isCounter(column: Column, grid: Grid): boolean {
  const start = numberIn(column.cells[0]?.text ?? "", grid.mark);
  return (
    (start === 0 || start === 1) &&
    column.cells.every((cell, i) => numberIn(cell.text, grid.mark) === start + i)
  );
}

/** Lower and upper edges: the headings say so, or each row starts where the one before ends. */
function areEdges(a: Column, b: Column, grid: Grid): boolean {
  const words = [edgeIn(a.heading), edgeIn(b.heading)];
  if (words.includes("lower") && words.includes("upper") && words[0] !== words[1]) return true;
  if (saysShares(b.heading) && !saysSize(b.heading)) return false;
  const from = a.cells.map((cell) => sizeIn(cell.text, grid.mark)?.value ?? null);
  const to = b.cells.map((cell) => sizeIn(cell.text, grid.mark)?.value ?? null);
  if (from.length < 3 || !to.every((end, i) => end !== null && end !== from[i])) return false;
  const rises = from.every((start, i) => start !== null && (to[i] ?? 0) > start);
  const falls = from.every((start, i) => start !== null && (to[i] ?? 0) < start);
  if (!rises && !falls) return false;
  const meets = (starts: typeof from, ends: typeof from) =>
    ends
      .slice(0, -1)
      .filter((end, i) => Math.abs((end ?? 0) - (starts[i + 1] ?? 0)) <= 0.01 * Math.abs(end ?? 0)).length;
  return Math.max(meets(from, to), meets(to, from)) >= 0.8 * (to.length - 1);
}
