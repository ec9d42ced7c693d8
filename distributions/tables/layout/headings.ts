import { sizeUnitInNotes } from "#distributions/tables/text/noteUnits.ts";
import { foreignUnitIn, unitIn } from "#distributions/tables/text/units.ts";
import {
  isMeanName,
  isSpreadName,
  namesSizes,
  quantityInNotes,
  saysShares,
  saysSize,
} from "#distributions/tables/text/words.ts";
import { filledIn, type Grid, isBlank, textOf } from "./block.ts";
import type { Chunk } from "./chunks.ts";

const unitWord =
  /^[([]?\s*(um|µm|μm|nm|mm|m|phi|φ|mesh|-|%|g|mg|kg|1|‰|ppm|(vol|volume|mass|wt|weight|number|num)[ .-]*%?|percent|fraction|counts?|1\s*\/\s*(um|µm|nm|mm)|%\s*\/\s*(um|µm|nm|mm))\s*[)\]]?$/i;

/**
 * The heading of a table and the lines around it. A row of units joins the row of names above it; a name that spans
 * several columns counts for each. A table without a heading of its own goes by the one before, if it is as wide.
 */
export function headingsOf(
  chunk: Chunk,
  grid: Grid,
  inherited: readonly string[],
): { heading: readonly string[]; notes: string[] } {
  const lines = withoutLetters(chunk);
  const last = lines.at(-1);
  const width = chunk.rows.reduce((most, { values }) => Math.max(most, filledIn(values)), 0);
  const step = stepOf(chunk);
  const isHeading =
    last !== undefined &&
    (filledIn(last.values) > 1 || isLoneHeading(last, chunk)) &&
    !isRemark(last.values, width) &&
    (last.row + step === chunk.rows[0]?.row || !isStatement(last.values));
  const notesOf = (rows: typeof lines) => rows.map(({ values }) => textOf(values));
  if (!isHeading) {
    const fits = inherited.filter((text) => text !== "").length >= Math.min(2, width);
    return { heading: fits ? inherited : [], notes: [...notesOf(lines), ...chunk.below] };
  }
  const names = lines.at(-2);
  const isUnits = last.values.every((text) => text === "" || unitWord.test(text));
  const areNames =
    names !== undefined &&
    names.row === last.row - step &&
    !isStatement(names.values) &&
    (isNameRow(names.values, chunk.sizeAt) || hasNoNumber(names.values, grid)) &&
    (isUnits || isSpan(names.values, last.values, chunk.sizeAt));
  if (areNames) {
    const spread = isUnits ? overUnits(names.values, last.values) : besideSizes(names.values, last.values);
    const heading = last.values.map((text, c) => `${spread[c] ?? ""} ${text}`.trim());
    const further = isUnits ? lines.at(-3) : undefined;
    const isFurther =
      further !== undefined && further.row === names.row - step && isNameRow(further.values, chunk.sizeAt);
    const over = isFurther ? besideSizes(further.values, heading) : [];
    return {
      heading: heading.map((text, c) => `${over[c] ?? ""} ${text}`.trim()),
      notes: [...notesOf(lines.slice(0, isFurther ? -3 : -2)), ...chunk.below],
    };
  }
  return { heading: last.values, notes: [...notesOf(lines.slice(0, -1)), ...chunk.below] };
}

const letter = /^[([]?(?:\p{L}|\d{1,2}|\p{L}\d)[)\]]?(?: ?= ?.{0,24})?$/u;

/**
 * The lines above a table without a row that only letters or numbers its columns, "(1)", "a", "x1", right below headings
 * that fill as many cells; those stand right above the table then.
 */
function withoutLetters(chunk: Chunk): Chunk["above"] {
  const lines = chunk.above.filter(({ values }) => !isBlank(values));
  const step = stepOf(chunk);
  const [before, last] = [lines.at(-2), lines.at(-1)];
  const isLetters =
    last !== undefined &&
    before !== undefined &&
    last.row + step === chunk.rows[0]?.row &&
    before.row + step === last.row &&
    filledIn(last.values) > 1 &&
    filledIn(last.values) === filledIn(before.values) &&
    last.values.every((text) => text === "" || letter.test(text)) &&
    !last.values.every((text) => text === "" || unitWord.test(text)) &&
    new Set(last.values).size === last.values.length &&
    (before.values.some((text) => saysShares(text)) ||
      before.values.every((t) => t === "" || unitWord.test(t)));
  return isLetters ? lines.slice(0, -1).map((line) => ({ ...line, row: line.row + step })) : lines;
}

/** How far apart rows stand: 2 where a blank line lies between any two. */
function stepOf({ rows: [first, second, third] }: Chunk): number {
  const isSpaced =
    first !== undefined &&
    second?.row === first.row + 2 &&
    third !== undefined &&
    third.row === first.row + 4;
  return isSpaced ? 2 : 1;
}

/** A row of names over headings: the same heading under several of them, or nothing above the sizes and a name above the rest. */
function isSpan(names: readonly string[], headings: readonly string[], sizeAt: number): boolean {
  const isRepeat = filledIn(names) < filledIn(headings) && filledIn(names) > 1 && hasRepeat(headings);
  return isRepeat || isNameRow(names, sizeAt) || isBeforeSizes(names, headings, sizeAt);
}

function isNameRow(names: readonly string[], sizeAt: number): boolean {
  return (
    names.length > 1 &&
    filledIn(names) > 0 &&
    names.slice(0, Math.max(1, sizeAt + 1)).every((text) => text === "")
  );
}

/** The same where the sizes stand last: a name above several columns of values, none above the sizes. */
function isBeforeSizes(names: readonly string[], headings: readonly string[], sizeAt: number): boolean {
  const last = headings.findLastIndex((text) => text !== "");
  return (
    sizeAt < last &&
    (last > 1 || names.length === headings.length) &&
    names[0] !== "" &&
    names[last] === "" &&
    namesSizes(headings[last] ?? "") &&
    !saysShares(headings[last] ?? "") &&
    headings.slice(0, last).every((text) => saysShares(text))
  );
}

/** Names over the columns of values alone: a merged cell ends where sizes, a mean or a spread begin. */
function besideSizes(names: readonly string[], headings: readonly string[]): string[] {
  const firstAt = names.findIndex((text) => text !== "");
  const own = headings[firstAt] ?? "";
  // Where sizes and values have the same heading, it tells none of them from the others.
  const before = new Set(headings.slice(0, firstAt).filter((heading) => heading !== own));
  return spreadNames(names, headings).map((name, c) => {
    const heading = headings[c] ?? "";
    const isOwn = (names[c] ?? "") !== "";
    if (!isOwn && before.has(heading)) return "";
    const isApart =
      (namesSizes(heading) && !saysShares(heading)) || isMeanName(heading) || isSpreadName(heading);
    return !isOwn && (isApart || heading === "") ? "" : name;
  });
}

/** One word or unit of size right above the sizes, with empty cells beside it: the other columns have no heading. */
function isLoneHeading({ values, row }: Chunk["above"][number], chunk: Chunk): boolean {
  const text = values[chunk.sizeAt] ?? "";
  const isAbove = row + stepOf(chunk) === chunk.rows[0]?.row && values.length > 1;
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

function hasNoNumber(values: readonly string[], { parsed }: Grid): boolean {
  return values.every((text) => parsed.number(text.split(" ")[0] ?? "") === null);
}

/** Names over units: a column with neither has no heading. */
function overUnits(names: readonly string[], units: readonly string[]): string[] {
  return spreadNames(names, units).map((name, c) =>
    (names[c] ?? "") === "" && (units[c] ?? "") === "" ? "" : name,
  );
}

/** A merged heading cell is written once and stands for the empty cells behind it. */
function spreadNames(names: readonly string[], headings: readonly string[]): string[] {
  const spread: string[] = [];
  for (let c = 0; c < headings.length; c++) {
    const name = names[c] ?? "";
    spread.push(name !== "" ? name : (spread[c - 1] ?? ""));
  }
  return spread;
}
