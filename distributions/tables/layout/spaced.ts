import type { Problem } from "#distributions/problem.ts";
import { type Block, type Cell, type Grid, isBlank } from "./block.ts";

/** Fewer rows may stand apart for a reason. */
const fewestRows = 6;
/** So much of the rows have a blank line right below, where all are spaced. */
const mostSpaced = 0.8;

/** Rows with a blank line below each are one table, printed with room: the same without those lines; null where rows are not so. */
export function withoutSpacing({ cells, ...rest }: Grid): { grid: Grid; rows: readonly number[] } | null {
  if (cells.length < 2 * fewestRows || !isBlank(cells[1] ?? [""])) return null;
  const blank = cells.map(isBlank);
  const filled = [...cells.keys()].filter((i) => blank[i] === false);
  const spaced = filled.filter((i) => blank[i + 1] === true && blank[i + 2] !== true).length;
  if (filled.length < fewestRows || spaced < mostSpaced * filled.length) return null;
  // Where two lines were blank or more, one was meant to be.
  const kept = [...cells.keys()].filter((i) => !blank[i] || (blank[i - 1] === true && blank[i - 2] !== true));
  return { grid: { ...rest, cells: kept.map((i) => cells[i] ?? []) }, rows: kept.map((i) => i + 1) };
}

interface Found {
  readonly blocks: readonly Block[];
  readonly problems: readonly Problem[];
}

/** What was found, its places counted in the file as received. */
export function placedIn(rows: readonly number[], { blocks, problems }: Found): Found {
  const rowOf = (row: number) => rows[row - 1] ?? row;
  const cell = (one: Cell): Cell => ({ ...one, row: rowOf(one.row) });
  const said = (one: Problem): Problem => (one.row === null ? one : { ...one, row: rowOf(one.row) });
  return {
    problems: problems.map(said),
    blocks: blocks.map(
      (block): Block => ({
        ...block,
        sizes: block.sizes.map((list) => list.map(cell)),
        series: block.series.map((one) => ({
          ...one,
          at: { ...one.at, row: one.at.row === null ? null : rowOf(one.at.row) },
          cells: one.cells.map(cell),
        })),
        remarks: block.remarks.map(said),
      }),
    ),
  };
}
