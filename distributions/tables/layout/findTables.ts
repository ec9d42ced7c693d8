import { itemAt, maxOf } from "#distributions/lists.ts";
import type { Problem } from "#distributions/problem.ts";
import type { LayoutOption, UnitOption } from "#distributions/tables/text/readingOptions.ts";
import { percentileIn, saysSize } from "#distributions/tables/text/words.ts";
import { type Block, type Grid, plausibility } from "./block.ts";
import { chunksOf } from "./chunks.ts";
import { columnBlocks } from "./columnsShape.ts";
import { longBlocks } from "./longShape.ts";
import { withPans } from "./pans.ts";
import { percentileTables } from "./percentilesShape.ts";
import { rowBlocks } from "./rowsShape.ts";
import { placedIn, withoutEmptyColumns, withoutSpacing } from "./spaced.ts";
import { turnedBlocks } from "./turned.ts";
import { withUnitSteps } from "./unitSteps.ts";

export interface FoundTables {
  readonly blocks: readonly Block[];
  /** What was found instead of a table, and what of its cells was not taken as it stands. */
  readonly problems: readonly Problem[];
}

/**
 * The tables among the cells. Each shape is tried; the one whose sizes run in order and whose series look like
 * shares wins; where two do alike the one whose heading speaks of sizes, else columns.
 *
 * @param asked  a layout the user names; then only that is tried
 * @param unit   the unit the user names, which counts where a list changes its own
 */
export function findTables(given: Grid, asked: LayoutOption | undefined, unit?: UnitOption): FoundTables {
  const same = (place: number) => place;
  const moved = withoutEmptyColumns(given);
  const { grid, columns } = moved ?? { grid: given, columns: 0 };
  const close = withoutSpacing(grid);
  const found = tablesIn(close === null ? grid : close.grid, asked, unit);
  if (close === null && moved === null) return found;
  return placedIn(
    {
      rowOf: close === null ? same : (row) => close.rows[row - 1] ?? row,
      columnOf: (column) => column + columns,
    },
    found,
  );
}

function tablesIn(given: Grid, asked: LayoutOption | undefined, unit: UnitOption | undefined): FoundTables {
  const stepped = withUnitSteps(given, unit);
  if (stepped.question !== null) return { blocks: [], problems: [stepped.question] };
  const { grid, remarks } = withPans(stepped.grid);
  const { roles: _, ...turnable } = grid;
  const chunks = chunksOf(grid);
  const found =
    asked === "columns"
      ? [columnBlocks(grid, chunks)]
      : asked === "rows"
        ? rowsOf(turnable)
        : asked === "long"
          ? [longBlocks(grid, chunks, true)]
          : [columnBlocks(grid, chunks), ...rowsOf(turnable), longBlocks(grid, chunks, false)];
  const rated = found
    .filter((blocks) => blocks.length > 0)
    .map((blocks) => ({ blocks, score: rate(blocks, grid) }));
  const longest = Math.max(0, ...rated.map(({ blocks }) => lengthOf(blocks)));
  const proofOf = ({ blocks, score }: { blocks: readonly Block[]; score: number }) =>
    score + (haveEdges(blocks) ? worthOfEdges : 0) - (isByChance(blocks, longest) ? worthOfOrder : 0);
  const best = rated.reduce((a, b) => {
    const ahead = proofOf(b) - proofOf(a);
    return ahead > 1e-9 || (ahead > -1e-9 && isLikelier(b.blocks, a.blocks)) ? b : a;
  }, rated[0] ?? { blocks: [], score: 0 });
  const mayBePercentiles = (asked === undefined || asked === "columns") && !isTable(best);
  const percentiles = mayBePercentiles ? percentileTables(grid) : null;
  if (percentiles !== null) return percentiles;
  return { blocks: best.blocks, problems: remarks };
}

/** Measurements in rows: with sizes in a heading row, or, where edges and mids stand in rows of their own, turned round. */
function rowsOf(grid: Grid): (readonly Block[])[] {
  const rows = rowBlocks(grid);
  const turned = turnedBlocks(grid);
  const [one] = turned;
  if (turned.length !== 1 || one === undefined || rows.length > 1) return [rows];
  // What is folded below itself goes on in rows of its own, the last of which may be short.
  if (rows.some(({ sizes }) => itemAt(sizes, 0).length > itemAt(one.sizes, 0).length)) return [rows];
  const hasEdges = rows.every(({ sizes }) => one.sizes.length > sizes.length);
  const isLong = itemAt(one.sizes, 0).length > 3;
  return (hasEdges && (rows.length === 1 || isLong)) || (one.remarks.length > 0 && rows.length === 1)
    ? [turned]
    : [rows];
}

/** Sizes in order, and headings that are no percentiles themselves. */
export function isTable({
  blocks,
  score,
}: {
  readonly blocks: readonly Block[];
  readonly score: number;
}): boolean {
  const isPercentile = (text: string) => percentileIn(text) !== null;
  return (
    score >= 1 &&
    !blocks.some((b) => isPercentile(b.sizeHeading) || b.series.some((s) => isPercentile(s.heading)))
  );
}

/** Of two that look alike: the one that speaks of sizes, or whose sizes are more than a few where the other's are not. */
function isLikelier(b: readonly Block[], a: readonly Block[]): boolean {
  if (saysSizes(b) !== saysSizes(a)) return saysSizes(b);
  return lengthOf(a) <= 3 && lengthOf(b) > 2 * lengthOf(a);
}

/** So many sizes run in order by chance now and then. */
const fewByChance = 4;
/** What two lists of edges that fit each other prove, and what the order of a few numbers does not, beside a score of 0 … 2. */
const worthOfEdges = 0.25;
const worthOfOrder = 0.25;

function lengthOf(blocks: readonly Block[]): number {
  return maxOf(blocks.map(({ sizes }) => itemAt(sizes, 0).length));
}

/** Whether each row or column starts where the one before ends, which shares do not. */
function haveEdges(blocks: readonly Block[]): boolean {
  return blocks.every(({ sizes }) => sizes.length === 2 && itemAt(sizes, 0).length >= fewByChance);
}

/** A few numbers in order, where read the other way a much longer list is. */
function isByChance(blocks: readonly Block[], longest: number): boolean {
  return lengthOf(blocks) <= fewByChance && longest > 2 * lengthOf(blocks);
}

function saysSizes(blocks: readonly Block[]): boolean {
  return blocks.every(({ sizeHeading }) => saysSize(sizeHeading));
}

export function rate(blocks: readonly Block[], grid: Grid): number {
  // Two or three sizes with a crowd of series beside them are a table that runs the other way.
  const isCrowd = ({ sizes, series }: Block) =>
    series.length > 9 && series.length > 3 * itemAt(sizes, 0).length;
  // Likewise many tables of one short row each, one below the other.
  const areScraps =
    blocks.length > maxScraps &&
    blocks.every(({ sizes, series }) => itemAt(sizes, 0).length <= 3 && series.length <= 1);
  const worth = (block: Block) => plausibility(block, grid.parsed) - (isCrowd(block) || areScraps ? 0.5 : 0);
  return blocks.reduce((sum, block) => sum + worth(block), 0) / blocks.length;
}

const maxScraps = 3;
