import { type Problem, problem } from "#distributions/problem.ts";
import { namesSizes, saysShares } from "#distributions/tables/text/words.ts";
import type { Cell, Column, Grid } from "./block.ts";
import { filled } from "./sizeColumns.ts";

/** Fewer cells show no order. */
const fewest = 4;
/** So many of a column's cells begin with a figure where it may hold sizes. */
const maxFigures = 0.8;
const firstFigure = /^[^\p{L}\p{N}]{0,3}(\d+(?:[.,]\d+)?)/u;
const dateOrTime = /^\d{1,4}[-./:]\d{1,2}(?:[-./:]\d|$)/;

/**
 * Sizes that are written in a way that is not understood leave their column a column of words, and another that runs in
 * order, as cumulative shares do, would be taken for them. That is refused, never read; unless a heading says that the
 * others are sizes.
 *
 * @param taken  the columns that were taken for the sizes
 */
export function unreadSizes(
  columns: readonly Column[],
  taken: readonly (Column | undefined)[],
  grid: Grid,
): readonly Problem[] {
  const [first] = taken;
  if (first === undefined || first.numbers !== undefined) return [];
  const isSaid = taken.some((c) => c !== undefined && namesSizes(c.heading) && !saysShares(c.heading));
  if (isSaid) return [];
  const unread = columns.find((c) => !taken.includes(c) && mayBeSizes(c, grid));
  const [cell] = unread === undefined ? [] : filled(unread).cells;
  return cell === undefined ? [] : [refusal(cell, first)];
}

/** Words that begin with figures, which run in order. */
function mayBeSizes(column: Column, { parsed }: Grid): boolean {
  if (column.numbers !== undefined) return false;
  const texts = filled(column).cells.map(({ text }) => text);
  if (texts.length < fewest || texts.some((text) => dateOrTime.test(text))) return false;
  const isWord = (text: string) => parsed.share(text) === null && !parsed.isSize(text);
  const figures = texts.flatMap((text) => firstFigure.exec(text)?.[1]?.replace(",", ".") ?? []);
  if (figures.length < maxFigures * texts.length || texts.filter(isWord).length < maxFigures * texts.length)
    return false;
  const values = figures.map(Number);
  const steps = values.slice(1).map((v, i) => v - (values[i] ?? v));
  return steps.every((d) => d >= 0) !== steps.every((d) => d <= 0);
}

function refusal(cell: Cell, { index, heading }: Column): Problem {
  const other = heading === "" ? `column ${index + 1}` : `column ${index + 1} ("${heading}")`;
  return problem(
    "refused",
    `Column ${cell.column} runs in order as sizes do, but "${cell.text}" cannot be read as one or two sizes. Write each size as a number, or the two edges of a class as 1-2; or say that ${other} holds the sizes.`,
    {
      row: cell.row,
      column: cell.column,
      found: cell.text,
      expected: "a size such as 1.2, or two as 1.2-1.5",
    },
  );
}
