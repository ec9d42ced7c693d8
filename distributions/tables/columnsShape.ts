import { type Problem, problem } from "../problem.ts";
import { type Block, type Cell, type Grid, isMonotone, type Series } from "./block.ts";
import { type Chunk, chunksOf } from "./chunks.ts";
import { headingsOf } from "./headings.ts";
import { numberIn, shareIn } from "./numbers.ts";
import { sieveBlock } from "./sieveShape.ts";
import { rangeIn, sizeIn } from "./sizeText.ts";
import { edgeIn, saysMid, saysShares, saysSize, unitIn } from "./words.ts";

/** Sizes in one column (or two), a measurement in each further one; a block for each table in the file. */
export function columnBlocks(grid: Grid): Block[] {
  const chunks = chunksOf(grid);
  let inherited: readonly string[] = [];
  const blocks: Block[] = [];
  for (const chunk of chunks) {
    const { heading, notes } = headingsOf(chunk, grid, inherited);
    inherited = heading;
    blocks.push(...sideBySide(chunk, heading, notes, grid));
  }
  return blocks;
}

interface Column {
  readonly heading: string;
  readonly index: number;
  readonly cells: readonly Cell[];
}

/** One block, or more where the heading of the sizes stands again further right: tables side by side. */
function sideBySide(chunk: Chunk, heading: readonly string[], notes: readonly string[], grid: Grid): Block[] {
  let width = 0;
  for (const { values } of chunk.rows)
    width = Math.max(width, values.findLastIndex((text) => text !== "") + 1);
  width = Math.max(width, heading.findLastIndex((text) => text !== "") + 1);
  const columns = Array.from(
    { length: width },
    (_, c): Column => ({
      heading: heading[c] ?? "",
      index: c,
      cells: chunk.rows.map(({ values, row }) => ({ text: values[c] ?? "", row, column: c + 1 })),
    }),
  );
  const sizes = sizeColumns(columns, grid);
  const starts = startsOf(columns, sizes, grid);
  if (starts.length < 2) return [blockOf(columns, sizes, notes, grid)];
  return starts.map(({ from, to }, k) => {
    const part = columns
      .slice(from, starts[k + 1]?.from ?? width)
      .map((c) => ({ ...c, cells: c.cells.filter((_, i) => columns[from]?.cells[i]?.text !== "") }));
    return blockOf(part, { from, to }, notes, grid);
  });
}

/** Where each of the tables has its sizes; the shorter of them, which ends in blank cells, may be the left one. */
function startsOf(columns: readonly Column[], sizes: SizeColumns, grid: Grid): SizeColumns[] {
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
interface SizeColumns {
  readonly from: number;
  readonly to: number | null;
}

/** Which column (or two) holds the sizes: the first that runs in order, one whose heading speaks of sizes first. */
function sizeColumns(columns: readonly Column[], grid: Grid): SizeColumns {
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
function isRun(column: Column, grid: Grid): boolean {
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

function blockOf(columns: readonly Column[], at: SizeColumns, notes: readonly string[], grid: Grid): Block {
  const { mark } = grid;
  const sizeColumn = columns.find((c) => c.index === at.from);
  const second = columns.find((c) => c.index === at.to);
  const cells = sizeColumn?.cells ?? [];
  const ranges = cells.map((cell) => rangeIn(cell.text, mark));
  const areRanges =
    ranges.filter((r) => r !== null).length >= Math.max(1, cells.length - 2) &&
    cells.every((cell, i) => ranges[i] !== null || sizeIn(cell.text, mark)?.open != null);
  const lists = areRanges
    ? rangeLists(cells, mark)
    : second === undefined
      ? [cells]
      : edgeLists(sizeColumn, second, mark);
  const rest = columns.filter((c) => c.index > at.from && c.index !== at.to);
  const isWords = (c: Column) => c.cells.every(({ text }) => shareIn(text, mark) === null);
  const hasNumbers = rest.some((c) => !isWords(c));
  const others = rest.filter((c) => isOtherSize(c, grid));
  const series = (hasNumbers ? rest.filter((c) => !isWords(c)) : rest).filter(
    (c) => !others.includes(c) || others.length === rest.length,
  );
  const block: Block = {
    layout: "columns",
    sizes: lists,
    sizeHeading: columns
      .filter((c) => c.index === at.from || c.index === at.to)
      .map((c) => c.heading)
      .join(" ")
      .trim(),
    series: series.map(
      (c): Series => ({
        heading: c.heading,
        says: c.heading,
        at: { row: null, column: c.index + 1 },
        cells: c.cells,
      }),
    ),
    notes: [...notes],
    remarks: others.length === 0 || others.length === rest.length ? [] : [otherSizes(others)],
  };
  return sieveBlock(block, grid) ?? block;
}

function otherSizes(others: readonly Column[]): Problem {
  const names = others.map((c) => `"${c.heading}"`).join(", ");
  return problem("note", `Left out as further columns of sizes: ${names}.`, { found: names });
}

/** A further column of sizes, as "mid um" beside the edges or the same sizes in phi: no measurement. */
function isOtherSize(c: Column, grid: Grid): boolean {
  return (
    c.heading !== "" &&
    !saysShares(c.heading) &&
    (unitIn(c.heading) !== null || saysMid(c.heading)) &&
    isRun(c, grid)
  );
}

function rangeLists(cells: readonly Cell[], mark: Grid["mark"]): Cell[][] {
  const sides = cells.map((cell) => {
    const found = rangeIn(cell.text, mark);
    if (found !== null) return found;
    const open = sizeIn(cell.text, mark);
    const bare = cell.text.replace(/^\D+/, "");
    return open?.open === "above" ? { from: bare, to: "" } : { from: "0", to: bare };
  });
  const falls = sides.every(
    ({ from, to }) => to !== "" && (sizeIn(from, mark)?.value ?? 0) > (sizeIn(to, mark)?.value ?? 0),
  );
  const list = (side: "from" | "to") => cells.map((cell, i) => ({ ...cell, text: sides[i]?.[side] ?? "" }));
  return falls ? [list("to"), list("from")] : [list("from"), list("to")];
}

function edgeLists(a: Column | undefined, b: Column | undefined, mark: Grid["mark"]): (readonly Cell[])[] {
  const [first, second] = [a?.cells ?? [], b?.cells ?? []];
  const larger = first.filter(
    (cell, i) =>
      (sizeIn(cell.text, mark)?.value ?? 0) >
      (sizeIn(second[i]?.text ?? "", mark)?.value ?? Number.POSITIVE_INFINITY),
  );
  return larger.length > first.length / 2 ? [second, first] : [first, second];
}
