import { type Problem, problem } from "#distributions/problem.ts";
import type { SeriesContext } from "#distributions/tables/evidence/seriesContext.ts";
import { addsToWhole } from "#distributions/tables/evidence/shares.ts";
import type { Cell, Series } from "#distributions/tables/layout/block.ts";
import { shareIn } from "#distributions/tables/text/numbers.ts";

/** Edges that close the outermost class, where a size stands without a value. */
export interface Closing {
  readonly below?: number;
  readonly above?: number;
}

/** The values in the order of rising sizes; a size with no value at one end closes the class beside it. */
export function valuesOf(
  series: Series,
  context: SeriesContext,
): { values: number[]; cells: Cell[]; closing: Closing } | Problem {
  const { mark, sizes } = context;
  const cells: Cell[] = [];
  for (const i of sizes.order) {
    const cell = series.cells[i];
    if (cell !== undefined) cells.push(cell);
  }
  const plain: number[] = [];
  const shareOf = ({ text }: Cell) => shareIn(text, mark);
  // Nearly every series holds numbers alone: one list, made once.
  for (const cell of cells) {
    const value = shareOf(cell);
    if (value === null) break;
    plain.push(value);
  }
  if (plain.length === cells.length) return { values: plain, cells, closing: {} };
  const values = cells.map(shareOf);
  const bad = values.indexOf(null);
  const holes = values.filter((v) => v === null).length;
  const atEnd = bad === 0 ? "below" : bad === cells.length - 1 ? "above" : null;
  const [list = []] = sizes.listsUm;
  const rest = values.flatMap((v) => v ?? []);
  const isFree = sizes.listsUm.length === 1 && sizes.signs === null && !sizes.open.below && !sizes.open.above;
  const fits = context.edge === null || context.edge.value === (atEnd === "below" ? "upper" : "lower");
  if (
    holes === 1 &&
    cells[bad]?.text === "" &&
    atEnd !== null &&
    isFree &&
    fits &&
    values.length > 2 &&
    addsToWhole(rest)
  ) {
    return { values: rest, cells: cells.filter((_, i) => i !== bad), closing: { [atEnd]: list[bad] ?? 0 } };
  }
  const cell = cells[bad];
  const text = cell?.text ?? "";
  const what =
    text === ""
      ? "the cell is empty"
      : text.startsWith("=")
        ? `"${text}" is a formula, not the value it gives`
        : `"${text}" is no number that can be used`;
  return problem(
    "refused",
    `Row ${cell?.row ?? "?"}, column ${cell?.column ?? "?"}: ${what}. Write the share, 0 where nothing was found.`,
    {
      row: cell?.row ?? null,
      column: cell?.column ?? null,
      found: text === "" ? "an empty cell" : text,
      expected: "a number",
    },
  );
}
