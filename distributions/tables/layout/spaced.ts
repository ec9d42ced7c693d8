import type { Problem } from "#distributions/problem.ts";
import type { Role } from "#distributions/tables/text/roles.ts";
import { type Block, type Cell, type Grid, isBlank } from "./block.ts";

/** Fewer rows may stand apart for a reason. */
const minRows = 6;
/** So much of the rows have a blank line right below, where all are spaced. */
const maxSpaced = 0.8;

/** Rows with a blank line below each are one table, printed with room: the same without those lines; null where rows are not so. */
export function withoutSpacing({ cells, ...rest }: Grid): { grid: Grid; rows: readonly number[] } | null {
  if (cells.length < 2 * minRows || !isBlank(cells[1] ?? [""])) return null;
  const blank = cells.map(isBlank);
  const filled = [...cells.keys()].filter((i) => blank[i] === false);
  const spaced = filled.filter((i) => blank[i + 1] === true && blank[i + 2] !== true).length;
  if (filled.length < minRows || spaced < maxSpaced * filled.length) return null;
  // Where two lines were blank or more, one was meant to be.
  const kept = [...cells.keys()].filter((i) => !blank[i] || (blank[i - 1] === true && blank[i - 2] !== true));
  return { grid: { ...rest, cells: kept.map((i) => cells[i] ?? []) }, rows: kept.map((i) => i + 1) };
}

/** Empty columns left of everything say nothing: the same without them; null where the first holds something. */
export function withoutEmptyColumns({ cells, roles, ...rest }: Grid): { grid: Grid; columns: number } | null {
  const columns = cells.reduce((least, row) => {
    const first = row.findIndex((text) => text !== "");
    return first < 0 ? least : Math.min(least, first);
  }, Number.POSITIVE_INFINITY);
  if (columns === 0 || !Number.isFinite(columns)) return null;
  const moved = [...(roles ?? [])].map(([place, role]): [string, Role] => [
    place.startsWith("c") ? `c${Number(place.slice(1)) - columns}` : place,
    role,
  ]);
  const grid: Grid = { ...rest, cells: cells.map((row) => row.slice(columns)) };
  return { columns, grid: roles === undefined ? grid : { ...grid, roles: new Map(moved) } };
}

interface Found {
  readonly blocks: readonly Block[];
  readonly problems: readonly Problem[];
}

/** Where a row and a column of what was looked at stand in the file as received, counted from 1. */
export interface PlacesInFile {
  readonly rowOf: (row: number) => number;
  readonly columnOf: (column: number) => number;
}

/** What was found, its places counted in the file as received. */
export function placedIn({ rowOf, columnOf }: PlacesInFile, { blocks, problems }: Found): Found {
  const at = <T extends { readonly row: number | null; readonly column: number | null }>(one: T): T => ({
    ...one,
    row: one.row === null ? null : rowOf(one.row),
    column: one.column === null ? null : columnOf(one.column),
  });
  const cell = (one: Cell): Cell => ({ ...one, row: rowOf(one.row), column: columnOf(one.column) });
  const said = (one: Problem): Problem => ({
    ...at(one),
    message: placesIn(one.message, { rowOf, columnOf }),
  });
  return {
    problems: problems.map(said),
    blocks: blocks.map(
      (block): Block => ({
        ...block,
        sizes: block.sizes.map((list) => list.map(cell)),
        series: block.series.map((one) => ({ ...one, at: at(one.at), cells: one.cells.map(cell) })),
        ...(block.rival === undefined
          ? {}
          : {
              rival: {
                ...block.rival,
                chosen: columnOf(block.rival.chosen + 1) - 1,
                column: columnOf(block.rival.column + 1) - 1,
              },
            }),
        remarks: block.remarks.map(said),
      }),
    ),
  };
}

/** A sentence with the rows and columns that it names; what it quotes of the table stays. */
function placesIn(message: string, { rowOf, columnOf }: PlacesInFile): string {
  const named = (part: string) =>
    part.replace(/\b(row|column) (\d+)/gi, (_, word: string, digits: string) => {
      const of = word.toLowerCase() === "row" ? rowOf : columnOf;
      return `${word} ${of(Number(digits))}`;
    });
  return message
    .split('"')
    .map((part, i) => (i % 2 === 0 ? named(part) : part))
    .join('"');
}
