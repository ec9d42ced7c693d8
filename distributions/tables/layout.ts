import { type DecimalMark, numberIn } from "./delimited.ts";
import type { LayoutOption } from "./readingOptions.ts";
import { edgeIn } from "./words.ts";

/** A cell with its place in the file as received, counted from 1. */
export interface Cell {
  readonly text: string;
  readonly row: number;
  readonly column: number;
}

/** One measurement's values, still as cells, with its heading. */
export interface Series {
  readonly heading: string;
  readonly at: { readonly row: number | null; readonly column: number | null };
  readonly cells: readonly Cell[];
}

/** A table turned so that sizes run along one list (or two: lower and upper) and each series along another. */
export interface Block {
  readonly layout: "columns" | "rows";
  /** One list of sizes, or lower and upper. */
  readonly sizes: readonly (readonly Cell[])[];
  readonly sizeHeading: string;
  readonly series: readonly Series[];
  /** Everything outside the table: lines above and below, and columns of words. */
  readonly notes: readonly string[];
}

type Rows = readonly (readonly string[])[];

/** A size as written: a number, or one behind < or > for an open class. */
const sizeCell = /^[<>≤≥]?\s*/;
const rangeCell = /^([^\s–-]+)\s*[–-]\s*([^\s–-]+)$/;

export function isSize(text: string, mark: DecimalMark): boolean {
  return numberIn(text.replace(sizeCell, ""), mark) !== null;
}

/** Finds the table among the cells; null where no rows of numbers are found. */
export function findBlock(cells: Rows, mark: DecimalMark, asked: LayoutOption | undefined): Block | null {
  if (asked === "rows") return rowsBlock(cells, mark);
  if (asked === "columns") return columnsBlock(cells, mark);
  return rowsBlock(cells, mark) ?? columnsBlock(cells, mark);
}

/** Measurements in rows: a heading row whose numbers are sizes, under it rows of values in the same columns. */
function rowsBlock(cells: Rows, mark: DecimalMark): Block | null {
  for (const [r, row] of cells.entries()) {
    const ranges = row.flatMap((text, c) => {
      const found = rangeCell.exec(text);
      return found !== null && isSize(found[1] ?? "", mark) && isSize(found[2] ?? "", mark)
        ? [{ c, lower: found[1] ?? "", upper: found[2] ?? "" }]
        : [];
    });
    const singles = row.flatMap((text, c) => (isSize(text, mark) ? [c] : []));
    const columns = ranges.length >= 2 ? ranges.map((x) => x.c) : singles;
    if (columns.length < 3 && ranges.length < 2) continue;
    if (
      ranges.length < 2 &&
      (columns[0] === 0 ||
        !isMonotone(singles.map((c) => numberIn((row[c] ?? "").replace(sizeCell, ""), mark) ?? 0)))
    )
      continue;
    const below = cells.slice(r + 1);
    const data = below.flatMap((values, i) =>
      columns.filter((c) => numberIn(values[c] ?? "", mark) !== null).length >= columns.length / 2
        ? [{ values, row: r + 2 + i }]
        : [],
    );
    if (data.length === 0) continue;
    const cell = (text: string, c: number): Cell => ({ text, row: r + 1, column: c + 1 });
    const sizes =
      ranges.length >= 2
        ? [ranges.map((x) => cell(x.lower, x.c)), ranges.map((x) => cell(x.upper, x.c))]
        : [columns.map((c) => cell(row[c] ?? "", c))];
    return {
      layout: "rows",
      sizes,
      sizeHeading: row.slice(0, columns[0] ?? 0).join(" "),
      series: data.map(({ values, row: at }) => ({
        heading:
          values.find((text, c) => !columns.includes(c) && text !== "" && numberIn(text, mark) === null) ??
          "",
        at: { row: at, column: null },
        cells: columns.map((c) => ({ text: values[c] ?? "", row: at, column: c + 1 })),
      })),
      notes: cells
        .slice(0, r)
        .map((line) => line.join(" ").trim())
        .filter((line) => line !== ""),
    };
  }
  return null;
}

/** Sizes in the first column (or the first two), a measurement in each further one. */
function columnsBlock(cells: Rows, mark: DecimalMark): Block | null {
  const isDataRow = (row: readonly string[]) =>
    isSizeOrRange(row[0] ?? "", mark) && row.slice(1).some((text) => numberIn(text, mark) !== null);
  const first = cells.findIndex(isDataRow);
  if (first < 0) return null;
  const body: { values: readonly string[]; row: number }[] = [];
  const after: string[] = [];
  for (const [i, row] of cells.entries()) {
    if (i < first || row.every((text) => text === "")) continue;
    const isTable = after.length === 0 && (isSizeOrRange(row[0] ?? "", mark) || isBrokenRow(row, mark));
    if (isTable) body.push({ values: row, row: i + 1 });
    else after.push(row.join(" ").trim());
  }
  const above = cells.slice(0, first).filter((row) => row.some((text) => text !== ""));
  const isHeading = (above.at(-1)?.filter((text) => text !== "").length ?? 0) > 1;
  const heading = isHeading ? (above.at(-1) ?? []) : [];
  const preamble = (isHeading ? above.slice(0, -1) : above).map((row) => row.join(" ").trim());
  const width = Math.max(...body.map(({ values }) => lastFilled(values) + 1), lastFilled(heading) + 1);
  const column = (c: number): Cell[] =>
    body.map(({ values, row }) => ({ text: values[c] ?? "", row, column: c + 1 }));
  const ranges = column(0).map((cell) => ({ cell, found: rangeCell.exec(cell.text) }));
  const areRanges = ranges.every(
    ({ found }) => found !== null && isSize(found[1] ?? "", mark) && isSize(found[2] ?? "", mark),
  );
  const areTwo = !areRanges && width > 2 && sizesInTwoColumns(heading, column(0), column(1), mark);
  const sizes = areRanges
    ? [1, 2].map((side) => ranges.map(({ cell, found }) => ({ ...cell, text: found?.[side] ?? "" })))
    : areTwo
      ? [column(0), column(1)]
      : [column(0)];
  const from = areTwo ? 2 : 1;
  const series = Array.from({ length: width - from }, (_, i): Series => {
    const c = from + i;
    return { heading: heading[c] ?? "", at: { row: null, column: c + 1 }, cells: column(c) };
  });
  const isWords = (s: Series) => s.cells.every(({ text }) => numberIn(text, mark) === null);
  const hasNumbers = series.some((s) => !isWords(s));
  return {
    layout: "columns",
    sizes,
    sizeHeading: heading.slice(0, from).join(" "),
    series: hasNumbers ? series.filter((s) => !isWords(s)) : series,
    notes: [...preamble, ...after],
  };
}

function isSizeOrRange(text: string, mark: DecimalMark): boolean {
  const found = rangeCell.exec(text);
  return (
    isSize(text, mark) || (found !== null && isSize(found[1] ?? "", mark) && isSize(found[2] ?? "", mark))
  );
}

/** A row inside the table whose size cannot be read but whose values can: a fault to report, not the table's end. */
function isBrokenRow(row: readonly string[], mark: DecimalMark): boolean {
  const [first = "", ...rest] = row;
  return (
    !/^(total|sum|mean|average|pan)\b/i.test(first) && rest.some((text) => numberIn(text, mark) !== null)
  );
}

/** Lower and upper edges: the headings say so, or each row starts where the one before ends. */
function sizesInTwoColumns(
  heading: readonly string[],
  a: readonly Cell[],
  b: readonly Cell[],
  mark: DecimalMark,
): boolean {
  if (edgeIn(heading[0] ?? "") === "lower" && edgeIn(heading[1] ?? "") === "upper") return true;
  const starts = a.map(({ text }) => numberIn(text.replace(sizeCell, ""), mark));
  const ends = b.map(({ text }) => numberIn(text.replace(sizeCell, ""), mark));
  if (
    starts.length < 3 ||
    !ends.every((end, i) => end !== null && end > (starts[i] ?? Number.POSITIVE_INFINITY))
  )
    return false;
  const meets = ends
    .slice(0, -1)
    .filter((end, i) => Math.abs((end ?? 0) - (starts[i + 1] ?? 0)) <= 0.01 * Math.abs(end ?? 0));
  return meets.length >= 0.8 * (ends.length - 1);
}

function lastFilled(row: readonly string[]): number {
  return row.findLastIndex((text) => text !== "");
}

function isMonotone(values: readonly number[]): boolean {
  const rises = values.slice(1).every((v, i) => v > (values[i] ?? v));
  const falls = values.slice(1).every((v, i) => v < (values[i] ?? v));
  return rises || falls;
}
