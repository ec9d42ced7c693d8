import type { NumberTable } from "#distributions/tables/text/numberTable.ts";
import type { Parsed } from "#distributions/tables/text/parsed.ts";
import type { Block, Cell, Column, Grid, Rows } from "./block.ts";
import { columnTables } from "./columnsShape.ts";
import { isTable, rate } from "./findTables.ts";
import { longBlocks } from "./longShape.ts";
import { headerIn } from "./rowsShape.ts";
import { withUnitSteps } from "./unitSteps.ts";

/** What a long table is told by stands in so many columns at most. */
export const longLooked = 12;

/**
 * The tables among words over columns of numbers, as `findTables` finds them, without taking out the cells of columns that
 * are no sizes. Null where another shape than columns could be meant: then the cells are looked at.
 */
export function wideTables(table: NumberTable, parsed: Parsed): readonly Block[] | null {
  const { heading } = table;
  const grid: Grid = { cells: [heading], parsed };
  const isWord = (text: string) => text !== "" && !parsed.isSize(text) && parsed.share(text) === null;
  // Words over numbers in every column: no row of sizes, no row of values, no pan, and one table from the second row on.
  if (heading.length < longLooked || !heading.every(isWord)) return null;
  if (headerIn(heading, 0, grid) !== null) return null;
  const narrow = narrowed(table);
  const rows = narrow.map((values, i) => ({ values, row: i + 2 }));
  const above = [{ values: heading.slice(0, longLooked), row: 1 }];
  if (withUnitSteps({ cells: [heading, ...narrow], parsed }, undefined).question !== null) return null;
  const chunk = { rows, above, below: [], sizeAt: 0 };
  if (longBlocks({ cells: [heading, ...narrow], parsed }, [chunk], false).length > 0) return null;
  const columns = heading.map((text, c) => columnAt(table, text, c));
  const blocks = columnTables(columns, [], grid);
  return isTable({ blocks, score: rate(blocks, grid) }) ? blocks : null;
}

function narrowed(table: NumberTable): Rows {
  return Array.from({ length: table.rows }, (_, r) =>
    Array.from({ length: longLooked }, (__, c) => table.text(r, c)),
  );
}

function columnAt(table: NumberTable, heading: string, index: number): Column {
  const cellsOf = () =>
    Array.from(
      { length: table.rows },
      (_, r): Cell => ({ text: table.text(r, index), row: r + 2, column: index + 1 }),
    );
  const numbers = table.ofColumn(index);
  if (numbers === null) return { heading, index, cells: cellsOf() };
  return {
    heading,
    index,
    numbers: { ...numbers, lastRow: table.rows + 1 },
    get cells() {
      return cellsOf();
    },
  };
}
