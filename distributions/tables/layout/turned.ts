import { type Block, type Cell, columnAt, type Grid, isBlank, textOf } from "./block.ts";
import { columnBlocks } from "./columnsShape.ts";

/** Fewer cells in a row are no list of sizes. */
const fewest = 3;
/** More rows of numbers than columns are read down, not across. */
const maxRows = 200;

/**
 * A table whose lists run across, turned so that they run down: its first column holds the headings. Only one run of rows
 * that are as wide as each other is looked at; the lines around it are its notes.
 */
export function turnedBlocks(grid: Grid): Block[] {
  const { cells } = grid;
  const isList = (row: readonly string[]) => {
    if (grid.parsed.isSize(row[0] ?? "")) return false;
    const filled = row.slice(1).filter((text) => text !== "");
    const numbers = filled.filter(
      (text) => grid.parsed.isSize(text) || grid.parsed.share(text) !== null,
    ).length;
    return numbers >= fewest && numbers === filled.length;
  };
  const from = cells.findIndex(isList);
  if (from < 0) return [];
  let to = from;
  while (to < cells.length && isList(cells[to] ?? [])) to++;
  const rows = cells.slice(from, to);
  if (rows.length < 2 || rows.length > maxRows) return [];
  const width = rows.reduce((most, row) => Math.max(most, row.findLastIndex((text) => text !== "") + 1), 0);
  const turned = Array.from({ length: width }, (_, c) => rows.map((row) => row[c] ?? ""));
  const notes = [...cells.slice(0, from), ...cells.slice(to)].filter((row) => !isBlank(row)).map(textOf);
  const place = (cell: Cell): Cell => ({ ...cell, row: cell.column + from, column: cell.row });
  return columnBlocks({ ...grid, cells: turned }).map((block) => ({
    ...block,
    layout: "rows",
    sizes: block.sizes.map((list) => list.map(place)),
    series: block.series.map((one) => ({
      ...one,
      at: { row: columnAt(one) + from, column: null },
      cells: one.cells.map(place),
    })),
    notes: [...block.notes, ...notes],
  }));
}
