import type { Problem } from "#distributions/problem.ts";
import type { LayoutOption } from "#distributions/tables/text/readingOptions.ts";
import { percentileIn, saysSize } from "#distributions/tables/text/words.ts";
import { type Block, type Grid, plausibility } from "./block.ts";
import { columnBlocks } from "./columnsShape.ts";
import { longBlocks } from "./longShape.ts";
import { percentileTables } from "./percentilesShape.ts";
import { rowBlocks } from "./rowsShape.ts";

export interface FoundTables {
  readonly blocks: readonly Block[];
  /** What was found instead of a table. */
  readonly problems: readonly Problem[];
}

/**
 * The tables among the cells. Each shape is tried; the one whose sizes run in order and whose series look like
 * shares wins; where two do alike the one whose heading speaks of sizes, else columns.
 *
 * @param asked  a layout the user names; then only that is tried
 */
export function findTables(grid: Grid, asked: LayoutOption | undefined): FoundTables {
  const found =
    asked === "columns"
      ? [columnBlocks(grid)]
      : asked === "rows"
        ? [rowBlocks(grid)]
        : asked === "long"
          ? [longBlocks(grid, true)]
          : [columnBlocks(grid), rowBlocks(grid), longBlocks(grid, false)];
  const rated = found
    .filter((blocks) => blocks.length > 0)
    .map((blocks) => ({ blocks, score: rate(blocks, grid) }));
  const best = rated.reduce(
    (a, b) =>
      b.score > a.score + 1e-9 || (b.score > a.score - 1e-9 && saysSizes(b.blocks) && !saysSizes(a.blocks))
        ? b
        : a,
    rated[0] ?? { blocks: [], score: 0 },
  );
  const mayBePercentiles = (asked === undefined || asked === "columns") && !isTable(best);
  const percentiles = mayBePercentiles ? percentileTables(grid) : null;
  if (percentiles !== null) return percentiles;
  return { blocks: best.blocks, problems: [] };
}

/** Sizes in order, and headings that are no percentiles themselves. */
function isTable({ blocks, score }: { readonly blocks: readonly Block[]; readonly score: number }): boolean {
  const isPercentile = (text: string) => percentileIn(text) !== null;
  return score >= 1 && !blocks.some((b) => isPercentile(b.sizeHeading) || b.series.some((s) => isPercentile(s.heading)));
}

function saysSizes(blocks: readonly Block[]): boolean {
  return blocks.every(({ sizeHeading }) => saysSize(sizeHeading));
}

function rate(blocks: readonly Block[], grid: Grid): number {
  return blocks.reduce((sum, block) => sum + plausibility(block, grid.mark), 0) / blocks.length;
}
