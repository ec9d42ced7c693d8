import { sizeUnitInNotes } from "#distributions/tables/text/noteUnits.ts";
import { numberIn } from "#distributions/tables/text/numbers.ts";
import { foreignUnitIn, unitIn } from "#distributions/tables/text/units.ts";
import { quantityInNotes, saysSize } from "#distributions/tables/text/words.ts";
import { filledIn, type Grid, isBlank, textOf } from "./block.ts";
import type { Chunk } from "./chunks.ts";

const unitWord =
  /^[([]?\s*(um|µm|μm|nm|mm|m|phi|φ|mesh|-|%|g|mg|kg|1|ppm|(vol|volume|mass|wt|weight|number|num)[ .-]*%?|percent|fraction|counts?|1\s*\/\s*(um|µm|nm|mm)|%\s*\/\s*(um|µm|nm|mm))\s*[)\]]?$/i;

/**
 * The heading of a table and the lines around it. A row of units joins the row of names above it; a name that spans
 * several columns counts for each. A table without a heading of its own goes by the one before, if it is as wide.
 */
export function headingsOf(
  chunk: Chunk,
  grid: Grid,
  inherited: readonly string[],
): { heading: readonly string[]; notes: string[] } {
  const lines = chunk.above.filter(({ values }) => !isBlank(values));
  const last = lines.at(-1);
  const width = Math.max(...chunk.rows.map(({ values }) => filledIn(values)));
  const isHeading =
    last !== undefined &&
    (filledIn(last.values) > 1 || isLoneHeading(last, chunk)) &&
    !isRemark(last.values, width);
  const notesOf = (rows: typeof lines) => rows.map(({ values }) => textOf(values));
  if (!isHeading) {
    const fits = inherited.filter((text) => text !== "").length >= Math.min(2, width);
    return { heading: fits ? inherited : [], notes: [...notesOf(lines), ...chunk.below] };
  }
  const names = lines.at(-2);
  const isUnits = last.values.every((text) => text === "" || unitWord.test(text));
  const isSpan =
    names !== undefined && filledIn(names.values) < filledIn(last.values) && hasRepeat(last.values);
  if (
    names !== undefined &&
    names.row === last.row - 1 &&
    (isUnits || isSpan) &&
    filledIn(names.values) > (isUnits ? 0 : 1) &&
    !isStatement(names.values) &&
    hasNoNumber(names.values, grid)
  ) {
    const spread = isUnits || isSpan ? spreadNames(names.values, last.values.length) : names.values;
    const heading = last.values.map((text, c) => `${spread[c] ?? ""} ${text}`.trim());
    return { heading, notes: [...notesOf(lines.slice(0, -2)), ...chunk.below] };
  }
  return { heading: last.values, notes: [...notesOf(lines.slice(0, -1)), ...chunk.below] };
}

/** One word or unit of size right above the sizes, with empty cells beside it: the other columns have no heading. */
function isLoneHeading({ values, row }: Chunk["above"][number], chunk: Chunk): boolean {
  const text = values[chunk.sizeAt] ?? "";
  const isAbove = row + 1 === chunk.rows[0]?.row && values.length > 1;
  const isOfSizes = saysSize(text) || unitIn(text) !== null || foreignUnitIn(text) !== null;
  return isAbove && (text === "" ? values[0] === "" : isOfSizes);
}

/** The same name twice: it takes a name above each to tell the columns apart. */
function hasRepeat(values: readonly string[]): boolean {
  const names = values.filter((text) => text !== "").map((text) => text.toLowerCase());
  return new Set(names).size < names.length;
}

/** "key: value" above a table with more columns than two is a remark. */
function isRemark(values: readonly string[], width: number): boolean {
  return width > 2 && filledIn(values) === 2 && (values[0] ?? "").endsWith(":");
}

/** Two cells at the left of which the first is a heading of its own: "unit of size", "mm". */
function isStatement(values: readonly string[]): boolean {
  const isLeft = filledIn(values) === 2 && values[0] !== "" && values[1] !== "" && values.length > 1;
  return isLeft && (sizeUnitInNotes(textOf(values)) !== null || quantityInNotes(textOf(values)) !== null);
}

function hasNoNumber(values: readonly string[], { mark }: Grid): boolean {
  return values.every((text) => numberIn(text.split(" ")[0] ?? "", mark) === null);
}

/** A merged heading cell is written once and stands for the empty cells behind it. */
function spreadNames(names: readonly string[], width: number): string[] {
  const spread: string[] = [];
  for (let c = 0; c < width; c++) {
    const name = names[c] ?? "";
    spread.push(name !== "" ? name : (spread[c - 1] ?? ""));
  }
  return spread;
}
