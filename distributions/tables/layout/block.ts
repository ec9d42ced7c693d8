import { itemAt, maxOf } from "#distributions/lists.ts";
import type { Problem } from "#distributions/problem.ts";
import type { Parsed } from "#distributions/tables/text/parsed.ts";
import type { EdgeOption } from "#distributions/tables/text/readingOptions.ts";
import type { Roles } from "#distributions/tables/text/roles.ts";

/** A cell with its place in the file as received, counted from 1. */
export interface Cell {
  readonly text: string;
  readonly row: number;
  readonly column: number;
}

/** A column of a table with its heading, before it is known what it is. */
export interface Column {
  readonly heading: string;
  readonly index: number;
  readonly cells: readonly Cell[];
  /** What the cells hold, where that is known to be plain figures before any of them was taken out. */
  readonly numbers?: CellNumbers;
}

/** The numbers of cells that all hold plain figures; worked out when asked for. */
export interface CellNumbers {
  readonly values: readonly number[];
  /** The most figures behind a point. */
  readonly decimals: number;
  readonly lastRow: number;
}

/** One measurement's values, still as cells, with its heading. */
export interface Series {
  /** What it goes by. */
  readonly heading: string;
  /** Words that may say what its values are: mostly the heading. */
  readonly says: string;
  readonly at: { readonly row: number | null; readonly column: number | null };
  readonly cells: readonly Cell[];
  /** The same as numbers, where all are plain figures and the table is large. */
  readonly numbers?: CellNumbers;
}

/** A table turned so that sizes run along one list (or two: lower and upper) and each series along another. */
export interface Block {
  readonly layout: "columns" | "rows" | "long";
  /** One list of sizes, or lower and upper. */
  readonly sizes: readonly (readonly Cell[])[];
  readonly sizeHeading: string;
  readonly series: readonly Series[];
  /** Lines outside the table that may speak of it. */
  readonly notes: readonly string[];
  /** Lines around all tables of the file, which count where none of its own says otherwise. */
  readonly around?: readonly string[];
  /** What the lines above it call it, where the headings of several tables are the same. */
  readonly title?: string;
  /** What the shape of the table says of its sizes, with the reason; words and options go before. */
  readonly edge?: { readonly edge: EdgeOption; readonly why: string };
  /** Two columns that could both be the sizes, counted from 0, with what speaks for each. */
  readonly rival?: {
    readonly chosen: number;
    readonly column: number;
    readonly forChosen: string;
    readonly forRival: string;
  };
  /** A sieve stack: what lies on the coarsest sieve has no upper edge, and is not given one. */
  readonly isSieve?: boolean;
  readonly remarks: readonly Problem[];
}

export type Rows = readonly (readonly string[])[];

/** The cells of a file with what makes numbers of them. */
export interface Grid {
  readonly cells: Rows;
  readonly parsed: Parsed;
  /** What a person says that columns are; rows of a table that is turned have none. */
  readonly roles?: Roles;
}

/** The column a series stands in, counted from 1. @throws RangeError  it stands in a row */
export function columnAt({ at }: Series): number {
  if (at.column === null) throw new RangeError("a series in a row has no column");
  return at.column;
}

/** Whether numbers only rise or only fall; where one is missing they do neither. */
export function isMonotone(values: readonly (number | null)[]): boolean {
  let rises = true;
  let falls = true;
  let last: number | null | undefined;
  for (const value of values) {
    if (last !== undefined) {
      if (last === null || value === null || !(value > last)) rises = false;
      if (last === null || value === null || !(value < last)) falls = false;
      if (!rises && !falls) return false;
    }
    last = value;
  }
  return values.length > 1 && (rises || falls);
}

/** So many cells say what a line is about; more are a row of numbers. */
const maxNoteCells = 400;

/** A line outside the table: its cells with tabs between, so that "dispersant", "water" stay a heading and its value. */
export function textOf(row: readonly string[]): string {
  return row
    .slice(0, maxNoteCells)
    .filter((cell) => cell !== "")
    .join("\t")
    .trim();
}

export function isBlank(row: readonly string[]): boolean {
  return row.every((cell) => cell === "");
}

export function filledIn(row: readonly string[]): number {
  let filled = 0;
  for (const cell of row) if (cell !== "") filled++;
  return filled;
}

const looked = 24;

/**
 * How much a block looks like size data, 0 … 2: sizes in order count one, and the part of its series (some are looked
 * at) that add up to a whole, or run as a cumulative curve does, counts another.
 */
export function plausibility(block: Block, parsed: Parsed): number {
  const sizes = itemAt(block.sizes, 0).map((cell) => parsed.um(cell.text));
  const inOrder = isMonotone(sizes) ? 1 : 0;
  const step = Math.max(1, Math.floor(block.series.length / looked));
  const seen = block.series.filter((_, i) => i % step === 0);
  let good = 0;
  for (const { cells } of seen) {
    // A size with its unit is no share.
    if (
      cells.some(({ text }) => parsed.share(text) === null && !parsed.isNothing(text) && parsed.isSize(text))
    )
      continue;
    const values = cells.map((cell) => parsed.share(cell.text) ?? 0);
    if (isWhole(values) || isCumulative(values)) good++;
    else if (values.every((v) => v >= 0)) good += 0.4;
  }
  return inOrder + (seen.length === 0 ? 0 : good / seen.length);
}

function isWhole(values: readonly number[]): boolean {
  const sum = values.reduce((a, b) => a + b, 0);
  return values.every((v) => v >= 0) && [1, 100].some((whole) => Math.abs(sum / whole - 1) <= 0.015);
}

function isCumulative(values: readonly number[]): boolean {
  const high = maxOf(values);
  const steps = values.slice(1).map((v, i) => v - (values[i] ?? v));
  const slack = 1e-3 * high;
  return (
    values.length >= 3 &&
    high <= 100.5 &&
    (high >= 60 || (high >= 0.6 && high <= 1.005)) &&
    (steps.every((d) => d >= -slack) || steps.every((d) => d <= slack))
  );
}
