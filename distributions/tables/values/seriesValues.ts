import { itemAt } from "#distributions/lists.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { SeriesContext } from "#distributions/tables/evidence/seriesContext.ts";
import type { Cell, Series } from "#distributions/tables/layout/block.ts";
import { addsToWhole } from "#distributions/tables/layout/wholes.ts";
import { saysNothing } from "#distributions/tables/text/numbers.ts";
import { saysMid } from "#distributions/tables/text/words.ts";

/** Edges that close the outermost class, where a size stands without a value. */
export interface Closing {
  readonly below?: number;
  readonly above?: number;
}

export interface SeriesValues {
  readonly values: readonly number[];
  readonly cells: readonly Cell[];
  readonly closing: Closing;
  readonly remarks: readonly Problem[];
}

/** The values in the order of rising sizes; a size with no value at one end closes the class beside it. */
export function valuesOf(series: Series, context: SeriesContext): SeriesValues | Problem {
  const { parsed, sizes } = context;
  if (series.numbers !== undefined && series.numbers.values.length === sizes.order.length)
    return plainValues(series, series.numbers.values, sizes.order);
  const cells: Cell[] = [];
  for (const i of sizes.order) {
    const cell = series.cells[i];
    if (cell !== undefined) cells.push(cell);
  }
  const values = cells.map(({ text }) => parsed.share(text));
  const plain = values.flatMap((v) => (v === null ? [] : [v]));
  if (plain.length === cells.length) return { values: plain, cells, closing: {}, remarks: [] };
  const odd = cells.findIndex((cell, i) => values[i] === null && !saysNothing(cell.text));
  if (odd >= 0) return noNumber(cells[odd]);
  return closingOf(values, plain, cells, context) ?? withoutHoles(values, plain, cells, context);
}

/** Numbers that are known already, their cells left where they are. */
function plainValues(series: Series, values: readonly number[], order: readonly number[]): SeriesValues {
  const isRising = order[0] === 0;
  return {
    values: isRising ? values : order.map((i) => itemAt(values, i)),
    get cells() {
      const { cells } = series;
      return order.map((i) => itemAt(cells, i));
    },
    closing: {},
    remarks: [],
  };
}

/** Beside less than this of the whole a blank may as well be a class without anything. */
const leastBeside = 0.0005;

/** The one empty cell at an end, beside a share that is not nothing: its size only closes the class beside it. */
function closingOf(
  values: readonly (number | null)[],
  rest: readonly number[],
  cells: readonly Cell[],
  { sizes, edge, options, sizeHeading }: SeriesContext,
): SeriesValues | null {
  const at = values.indexOf(null);
  const end = at === 0 ? "below" : at === cells.length - 1 ? "above" : null;
  const [list = []] = sizes.listsUm;
  const isFree = sizes.listsUm.length === 1 && sizes.signs === null && !sizes.open.below && !sizes.open.above;
  const fits = edge === null || edge.value === (end === "below" ? "upper" : "lower");
  const isAlone = rest.length === values.length - 1 && values.length > 2 && cells[at]?.text === "";
  const beside = end === "below" ? rest[0] : rest.at(-1);
  const size = list[at];
  // A column of mids closes nothing.
  const isClosing =
    !saysMid(sizeHeading) &&
    options.empty === undefined &&
    end !== null &&
    isAlone &&
    isFree &&
    fits &&
    beside !== undefined &&
    beside > leastBeside * rest.reduce((a, b) => a + b, 0);
  if (!isClosing || size === undefined || !addsToWhole(rest)) return null;
  return { values: rest, cells: cells.filter((_, i) => i !== at), closing: { [end]: size }, remarks: [] };
}

/** Cells that say nothing, or that nothing was found: zero where the others are the whole or the answer says so, else asked. */
function withoutHoles(
  values: readonly (number | null)[],
  rest: readonly number[],
  cells: readonly Cell[],
  context: SeriesContext,
): SeriesValues | Problem {
  const at = values.indexOf(null);
  const hole = cells[at];
  const count = values.length - rest.length;
  if (rest.length < 2) return noNumber(hole);
  const filled = values.map((v) => v ?? 0);
  if (context.options.empty === "zero") return { values: filled, cells, closing: {}, remarks: [] };
  const what = hole?.text === "" ? "an empty cell" : `"${hole?.text}"`;
  if (addsToWhole(rest))
    return {
      values: filled,
      cells,
      closing: {},
      remarks: [
        problem(
          "note",
          `${count === 1 ? `${capital(what)} was` : `${count} cells such as ${what} were`} taken as nothing found: the other shares are the whole.`,
          {
            row: hole?.row ?? null,
            column: hole?.column ?? null,
            found: hole?.text === "" ? "an empty cell" : (hole?.text ?? null),
          },
        ),
      ],
    };
  return {
    ...problem(
      "question",
      `${count === 1 ? `A cell holds ${what}` : `${count} cells hold ${what} or the like`} where a value should be. Say whether that means that nothing was found there; if values are missing, bring the whole table in.`,
      {
        row: hole?.row ?? null,
        column: hole?.column ?? null,
        found: hole?.text === "" ? "an empty cell" : (hole?.text ?? null),
      },
    ),
    choices: [{ option: "empty", value: "zero", d50Um: null }],
  };
}

function capital(text: string): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}`;
}

function noNumber(cell: Cell | undefined): Problem {
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
