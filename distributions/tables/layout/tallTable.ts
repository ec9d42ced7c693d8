import type { NumberTable } from "#distributions/tables/text/numberTable.ts";
import type { Parsed } from "#distributions/tables/text/parsed.ts";
import { isSummaryWord } from "#distributions/tables/text/words.ts";
import { type Block, type Cell, type Grid, isMonotone, type Series } from "./block.ts";
import { chunksOf } from "./chunks.ts";
import { isTable, rate } from "./findTables.ts";
import { longBlocks } from "./longShape.ts";
import { rowBlocks } from "./rowsShape.ts";
import { longLooked } from "./wideTable.ts";

/** More rows of numbers than these are no table whose lists run across (turned.ts). */
const minRows = 201;
/** So many rows tell what the heading row is. */
const sampled = 12;
/** A table in columns whose sizes run in no order reaches this, no more. */
const maxInColumns = 1;

/**
 * The table of named measurements in rows under a heading row of sizes, as `findTables` finds it, without taking out its
 * cells. Null where another shape than rows could be meant: then the cells are looked at.
 */
export function tallTable(table: NumberTable, parsed: Parsed): Block | null {
  const { heading, rows } = table;
  const [first = "", ...sizes] = heading;
  const isWord = (text: string) => text !== "" && !parsed.isSize(text) && parsed.share(text) === null;
  const isHead = (text: string) => parsed.isSize(text) || parsed.range(text) !== null;
  if (rows < minRows || !isWord(first) || !sizes.every(isHead)) return null;
  const names = Array.from({ length: rows }, (_, r) => table.text(r, 0));
  if (!names.every((name) => isWord(name) && name !== first && !isSummaryWord(name))) return null;
  // No column runs in order, or it could be the sizes of a table in columns.
  for (let c = 1; c < heading.length; c++) {
    const column = table.ofColumn(c);
    if (column === null || isMonotone(column.values)) return null;
  }
  if (long(table, parsed)) return null;
  const grid: Grid = { cells: [heading, ...rowsOf(table, sampled, heading.length)], parsed };
  const [block, ...more] = rowBlocks(grid);
  const isWhole = block?.series.length === sampled && more.length === 0;
  if (block === undefined || !isWhole || block.sizes.some((list) => list.length !== sizes.length))
    return null;
  const whole = { ...block, series: names.map((name, r) => seriesAt(table, name, r)) };
  const score = rate([whole], grid);
  return score > maxInColumns + 0.01 && isTable({ blocks: [whole], score }) ? whole : null;
}

function rowsOf(table: NumberTable, count: number, width: number): string[][] {
  return Array.from({ length: count }, (_, r) => Array.from({ length: width }, (__, c) => table.text(r, c)));
}

/** Whether its first columns could be a table of one size and value a row. */
function long(table: NumberTable, parsed: Parsed): boolean {
  const cells = [table.heading.slice(0, longLooked), ...rowsOf(table, table.rows, longLooked)];
  const grid: Grid = { cells, parsed };
  return longBlocks(grid, chunksOf(grid), false).length > 0;
}

function seriesAt(table: NumberTable, name: string, r: number): Series {
  const row = r + 2;
  const width = table.heading.length - 1;
  const cellsOf = () =>
    Array.from({ length: width }, (_, c): Cell => ({ text: table.text(r, c + 1), row, column: c + 2 }));
  const at = { row, column: null };
  const numbers = table.ofRow(r);
  if (numbers === null) return { heading: name, says: name, at, cells: cellsOf() };
  return {
    heading: name,
    says: name,
    at,
    numbers: { ...numbers, lastRow: row },
    get cells() {
      return cellsOf();
    },
  };
}
