import { zip } from "#distributions/lists.ts";
import { edgeOf as edgeIn } from "#distributions/tables/text/claims.ts";
import { foreignUnitIn, unitIn } from "#distributions/tables/text/units.ts";
import { isSummaryWord, percentileIn, saysShares, saysSize } from "#distributions/tables/text/words.ts";
import {
  type Block,
  type Cell,
  filledIn,
  type Grid,
  isBlank,
  isMonotone,
  type Series,
  textOf,
} from "./block.ts";
import { foldedTogether } from "./folded.ts";
import { rangeLists } from "./rangeLists.ts";
import { addsToWhole } from "./wholes.ts";

interface Header {
  readonly columns: readonly number[];
  readonly lists: readonly (readonly Cell[])[];
  /** What stands around each number, as "q_le_#". */
  readonly words: string;
}

const maxHeaderRows = 60;
const figures = /\d+(?:[.,]\d+)?(?:e[+-]?\d+)?/gi;

/** Measurements in rows: a heading row whose numbers are sizes, under it rows of values in the same columns. */
export function rowBlocks(grid: Grid): Block[] {
  const blocks: Block[] = [];
  let r = 0;
  let above: string[] = [];
  // Where a block ended its last row stands above, and says nothing against a heading.
  let endedAt = -1;
  let last: Headed | null = null;
  while (r < grid.cells.length) {
    const row = grid.cells[r] ?? [];
    const isLooked = (r < maxHeaderRows || blocks.length > 0) && (r === endedAt || !isInside(grid, r));
    const header: Header | null = isLooked ? (headerIn(row, r, grid) ?? restOf(row, r, last, grid)) : null;
    const found = header === null ? null : blockUnder(header, r, above, grid);
    if (header === null || found === null) {
      if (row.some((text) => text !== "")) above.push(textOf(row));
      r++;
    } else {
      blocks.push(found.block);
      last = { header, row };
      above = [];
      r = found.next;
      endedAt = r;
    }
  }
  const [only] = blocks;
  if (only !== undefined) blocks[blocks.length - 1] = withNotes(blocks.at(-1) ?? only, above);
  return [...foldedTogether(blocks, grid)];
}

/** A heading row that a block was found under. */
interface Headed {
  readonly header: Header;
  readonly row: readonly string[];
}

/** The last part of a list that goes on in rows below: few sizes behind the words that head the parts before. */
function restOf(row: readonly string[], r: number, last: Headed | null, grid: Grid): Header | null {
  if (last === null || last.header.words !== "" || last.header.lists.length > 1) return null;
  const { columns } = last.header;
  const isColumn = new Set(columns);
  const labels = wordsBeside(last.row, isColumn);
  const cells = columns.flatMap((c): Cell[] => {
    const text = row[c] ?? "";
    return text === "" ? [] : [{ text, row: r + 1, column: c + 1 }];
  });
  const isRest =
    labels.length > 0 &&
    cells.length > 0 &&
    cells.every(({ text }) => grid.parsed.size(text) !== null) &&
    isSame(labels, wordsBeside(row, isColumn));
  return isRest ? { ...last.header, columns: cells.map(({ column }) => column - 1), lists: [cells] } : null;
}

function withNotes(block: Block, notes: readonly string[]): Block {
  return { ...block, notes: [...block.notes, ...notes] };
}

/** A row of words or numbers just above, one a column, makes this row data and not a heading. */
function isInside({ cells, parsed }: Grid, r: number): boolean {
  const row = cells[r] ?? [];
  const before = cells[r - 1] ?? [];
  const filled = filledIn(row);
  let words = 0;
  let numbers = 0;
  for (const [c, text] of before.entries()) {
    if (text === "" || (row[c] ?? "") === "") continue;
    if (parsed.number(text) !== null) numbers++;
    else if (!parsed.isSize(text)) words++;
  }
  return (words >= 2 && words >= filled / 2) || (numbers >= 2 && numbers >= filled / 2);
}

/** Without a word before them, sizes across must stand first, and the first column must not run as sizes down. */
function standsAlone({ cells, parsed }: Grid, r: number): boolean {
  if (!cells.slice(0, r).every((row) => filledIn(row) < 2)) return false;
  const down = cells.slice(r).flatMap((row) => (isBlank(row) ? [] : [parsed.number(row[0] ?? "")]));
  return !isMonotone(down);
}

/** The columns of a row that hold sizes, bare or with the same words around each number. */
export function headerIn(row: readonly string[], r: number, grid: Grid): Header | null {
  const { parsed } = grid;
  const cell = (text: string, c: number): Cell => ({ text, row: r + 1, column: c + 1 });
  const bare: Cell[] = [];
  const ranges: Cell[] = [];
  const worded = new Map<string, number[]>();
  for (const [c, text] of row.entries()) {
    if (text === "") continue;
    const size = parsed.size(text);
    if (size === null && parsed.range(text) !== null) ranges.push(cell(text, c));
    else if (size !== null) bare.push(cell(text, c));
    else if (/\d/.test(text) && percentileIn(text) === null) {
      const words = text.replace(figures, "#");
      const columns = worded.get(words);
      if (columns === undefined) worded.set(words, [c]);
      else columns.push(c);
    }
  }
  if (ranges.length >= 2 && ranges.length >= bare.length) {
    const open = bare.filter(({ text }) => parsed.size(text)?.open != null);
    const cells = [...ranges, ...open].toSorted((a, b) => a.column - b.column);
    const lists = rangeLists(cells, parsed);
    if (lists !== null) return { columns: cells.map(({ column }) => column - 1), lists, words: "" };
  }
  if (bare.length >= 3 && isRun(bare, parsed) && (bare[0]?.column !== 1 || standsAlone(grid, r)))
    return { columns: bare.map((x) => x.column - 1), lists: [bare], words: "" };
  return wordedHeader(row, worded, cell, parsed);
}

/** Headings such as "q_le_0.5" or "2-4_micron": the words around the numbers must speak of a size. */
function wordedHeader(
  row: readonly string[],
  worded: ReadonlyMap<string, readonly number[]>,
  cell: (text: string, c: number) => Cell,
  parsed: Grid["parsed"],
): Header | null {
  for (const [words, columns] of worded) {
    const plain = words.replaceAll("_", " ");
    const speaks =
      unitIn(plain) !== null || /[<>≤≥]|\b(le|lt|ge|gt|under|below|above|upper|lower|to)\b/i.test(plain);
    const isName = saysShares(plain) || plain.length > 24 || /(^|[^a-z])[dx] ?#/i.test(plain);
    if (columns.length < 3 || !speaks || isName) continue;
    const found = columns.map((c) => [...(row[c] ?? "").matchAll(figures)].map((m) => m[0]));
    const unit = unitIn(plain) ?? "";
    const list = (side: number) =>
      columns.map((c, i) => cell(`${found[i]?.[side] ?? ""} ${unit === "phi" ? "" : unit}`.trim(), c));
    if (found.every((f) => f.length === 2)) return { columns, lists: [list(0), list(1)], words: plain };
    if (found.every((f) => f.length === 1) && isRun(list(0), parsed))
      return { columns, lists: [list(0)], words: plain };
  }
  return null;
}

/** Sizes may go from nm to µm within the row, each with its unit. */
function isRun(cells: readonly Cell[], parsed: Grid["parsed"]): boolean {
  return isMonotone(cells.map(({ text }) => parsed.um(text)));
}

/** The rows of values under the heading row at a place, and where what follows begins; null where none is under it. */
function blockUnder(
  header: Header,
  r: number,
  above: readonly string[],
  grid: Grid,
): { block: Block; next: number } | null {
  const { cells, parsed } = grid;
  const { columns } = header;
  const row = cells[r] ?? [];
  const isColumn = new Set(columns);
  const labels = wordsBeside(row, isColumn);
  const data: Series[] = [];
  const between: string[] = [];
  const unitsAt = unitRow(grid, r, columns);
  let lists = header.lists;
  let next = r + 1;
  for (; next < cells.length; next++) {
    if (next === unitsAt) continue;
    const values = cells[next] ?? [];
    // The heading's own words again, over other sizes: what follows is another table.
    if (data.length > 0 && labels.length > 0 && isSame(labels, wordsBeside(values, isColumn))) break;
    let numbers = 0;
    // The upper edges may stand in the first row, each with its unit.
    for (const c of columns)
      if (
        parsed.share(values[c] ?? "") !== null ||
        (data.length === 0 && parsed.size(values[c] ?? "") !== null)
      )
        numbers++;
    if (numbers < columns.length / 2) {
      if (data.length === 0 || isBlank(values)) {
        between.push(textOf(values));
        continue;
      }
      if (headerIn(values, next, grid) !== null || numbers === 0) {
        if (values.filter((text) => text !== "").length > 2) break;
        between.push(textOf(values));
        continue;
      }
    }
    const label =
      values.find((text, c) => !isColumn.has(c) && text !== "" && parsed.number(text) === null) ?? "";
    const list = columns.map((c): Cell => ({ text: values[c] ?? "", row: next + 1, column: c + 1 }));
    if (isSummary(label, list, parsed)) continue;
    const isUpper =
      data.length === 0 &&
      lists.length === 1 &&
      ((edgeIn(label) === "upper" && edgeIn(labels[0] ?? "") === "lower") ||
        areUpper(list, lists[0] ?? [], parsed));
    if (isUpper) lists = [lists[0] ?? [], list];
    else
      data.push({
        heading: label !== "" ? label : numbered(row, values, isColumn),
        says: label,
        at: { row: next + 1, column: null },
        cells: list,
      });
  }
  if (data.length === 0) return null;
  const speaking = row.filter(
    (text, c) =>
      !isColumn.has(c) &&
      parsed.number(cells[r + 1]?.[c] ?? "") === null &&
      (saysSize(text) || unitIn(text) !== null || foreignUnitIn(text) !== null || text.includes("%")),
  );
  const units = columns.map((c) => cells[unitsAt]?.[c] ?? "");
  const said = distinct(units);
  return {
    block: {
      layout: "rows",
      // Sizes that go from nm to µm have a unit each.
      sizes: said.length > 1 ? lists.map((list) => withUnits(list, units)) : lists,
      sizeHeading: distinct([...speaking, header.words, ...(said.length > 1 ? [] : said)]).join(" "),
      series: data,
      notes: [...above, ...between.filter((line) => line !== "")],
      remarks: [],
    },
    next,
  };
}

/** Whether each size of a row ends the class that the one below it in the other row starts, whatever the words. */
function areUpper(list: readonly Cell[], lower: readonly Cell[], parsed: Grid["parsed"]): boolean {
  const [ends, starts] = [list, lower].map((cells) => cells.map(({ text }) => parsed.um(text)));
  if (ends === undefined || starts === undefined || starts.length < 4 || !isMonotone(ends)) return false;
  return zip(ends.slice(0, -1), starts.slice(1)).every(([end, next]) => Math.abs(next / end - 1) <= 0.002);
}

/** A row that is left out: one of a word that sums up, but for means, and for a name of several words over shares that make a whole. */
function isSummary(label: string, list: readonly Cell[], parsed: Grid["parsed"]): boolean {
  if (!isSummaryWord(label) || /^mean|^average/i.test(label)) return false;
  return !(/\s/.test(label) && addsToWhole(list.flatMap(({ text }) => parsed.share(text) ?? [])));
}

/** The row next below sizes, or next but one, that gives nothing but their unit, known or not: once, or below each of them; −1 where none does. */
function unitRow({ cells }: Grid, r: number, columns: readonly number[]): number {
  const first = columns[0];
  const areUnits = (row: readonly string[]) => {
    const below = columns.flatMap((c) => (row[c] === undefined || row[c] === "" ? [] : [row[c]]));
    const isOnce = below.length === 1 && first !== undefined && row[first] === below[0];
    return (
      (below.length === columns.length || isOnce) &&
      below.every((text) => wholeUnit.test(text) && (unitIn(text) !== null || foreignUnitIn(text) !== null))
    );
  };
  return [r + 1, r + 2].find((at) => areUnits(cells[at] ?? [])) ?? -1;
}

function distinct(texts: readonly string[]): string[] {
  return [...new Set(texts.filter((text) => text !== ""))];
}
const wholeUnit = /^[([]?[^\d\s%()[\]]{1,12}\.?[)\]]?$/;

function withUnits(cells: readonly Cell[], units: readonly string[]): readonly Cell[] {
  return zip(cells, units).map(([cell, unit]) => ({
    ...cell,
    text: `${cell.text} ${unit.replace(/[()[\]]/g, "")}`,
  }));
}

/** What stands beside the columns of a row. */
function wordsBeside(row: readonly string[], isColumn: ReadonlySet<number>): string[] {
  return row.filter((text, c) => !isColumn.has(c) && text !== "");
}

function isSame(a: readonly string[], b: readonly string[]): boolean {
  return a.length === b.length && a.every((text, i) => text === b[i]);
}

/** A row named only by a number goes by its column's heading too: "run 3". */
function numbered(row: readonly string[], values: readonly string[], isColumn: ReadonlySet<number>): string {
  const c = values.findIndex((text, k) => !isColumn.has(k) && text !== "");
  return c < 0 ? "" : `${row[c] ?? ""} ${values[c] ?? ""}`.trim();
}
