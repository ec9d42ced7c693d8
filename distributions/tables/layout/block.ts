import type { Problem } from "#distributions/problem.ts";
import { type DecimalMark, shareIn } from "#distributions/tables/text/numbers.ts";
import type { EdgeOption } from "#distributions/tables/text/readingOptions.ts";
import { sizeIn } from "#distributions/tables/text/sizeText.ts";

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
}

/** One measurement's values, still as cells, with its heading. */
export interface Series {
  /** What it goes by. */
  readonly heading: string;
  /** Words that may say what its values are: mostly the heading. */
  readonly says: string;
  readonly at: { readonly row: number | null; readonly column: number | null };
  readonly cells: readonly Cell[];
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
  /** What the shape of the table says of its sizes, with the reason; words and options go before. */
  readonly edge?: { readonly edge: EdgeOption; readonly why: string };
  /** A sieve stack: what lies on the coarsest sieve has no upper edge, and is not given one. */
  readonly isSieve?: boolean;
  readonly remarks: readonly Problem[];
}

export type Rows = readonly (readonly string[])[];

/** The cells of a file with the mark that makes numbers of them. */
export interface Grid {
  readonly cells: Rows;
  readonly mark: DecimalMark;
}

/** Whether numbers only rise or only fall. */
export function isMonotone(values: readonly number[]): boolean {
  let rises = true;
  let falls = true;
  for (let i = 1; i < values.length; i++) {
    const step = (values[i] ?? 0) - (values[i - 1] ?? 0);
    if (!(step > 0)) rises = false;
    if (!(step < 0)) falls = false;
  }
  return values.length > 1 && (rises || falls);
}

/** So many cells say what a line is about; more are a row of numbers. */
const mostNoteCells = 400;

/** A line outside the table: its cells with tabs between, so that "dispersant", "water" stay a heading and its value. */
export function textOf(row: readonly string[]): string {
  return row
    .slice(0, mostNoteCells)
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
export function plausibility(block: Block, mark: DecimalMark): number {
  const sizes = (block.sizes[0] ?? []).map((cell) => sizeIn(cell.text, mark)?.value ?? Number.NaN);
  const inOrder = isMonotone(sizes) ? 1 : 0;
  const step = Math.max(1, Math.floor(block.series.length / looked));
  let seen = 0;
  let good = 0;
  for (let s = 0; s < block.series.length; s += step) {
    const values = (block.series[s]?.cells ?? []).map((cell) => shareIn(cell.text, mark) ?? 0);
    seen++;
    if (isWhole(values) || isCumulative(values)) good++;
    else if (values.every((v) => v >= 0)) good += 0.4;
  }
  return inOrder + (seen === 0 ? 0 : good / seen);
}

function isWhole(values: readonly number[]): boolean {
  const sum = values.reduce((a, b) => a + b, 0);
  return values.every((v) => v >= 0) && [1, 100].some((whole) => Math.abs(sum / whole - 1) <= 0.015);
}

function isCumulative(values: readonly number[]): boolean {
  const high = Math.max(...values);
  const steps = values.slice(1).map((v, i) => v - (values[i] ?? v));
  const slack = 1e-3 * high;
  return (
    values.length >= 3 &&
    high <= 100.5 &&
    (high >= 60 || (high >= 0.6 && high <= 1.005)) &&
    (steps.every((d) => d >= -slack) || steps.every((d) => d <= slack))
  );
}
