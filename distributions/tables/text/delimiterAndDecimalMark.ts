import Papa from "papaparse";
import { maxOf } from "#distributions/lists.ts";
import { blankRows } from "./blankSeparated.ts";
import { type DecimalMark, decimalMarkStated, saysNothing, shareIn } from "./numbers.ts";
import { plainNumber } from "./plainNumber.ts";
import type { DelimiterOption } from "./readingOptions.ts";
import { isSize } from "./sizeText.ts";
import { percentileIn } from "./words.ts";

export type Delimiter = "," | ";" | "\t" | "|" | " ";

/** The sign that an option's word stands for. */
export const delimiterOf: Readonly<Record<DelimiterOption, Delimiter>> = {
  comma: ",",
  semicolon: ";",
  tab: "\t",
  pipe: "|",
  blanks: " ",
};

/** Text taken apart into cells, and how. */
export interface TakenApart {
  readonly cells: readonly (readonly string[])[];
  readonly delimiter: Delimiter;
  readonly decimalMark: DecimalMark;
  /** Whether every number with a mark reads either way, as 1,234 does. */
  readonly isMarkOpen: boolean;
  /** How many rows or columns are more than is read; then there are no cells. */
  readonly tooLarge: string | null;
}

/** More is no table of sizes that a person could have meant. */
const maxColumns = 20_000;
const maxRows = 200_000;

const delimiters = [",", ";", "\t", "|", " "] as const;
const marks = [".", ","] as const;
const sampleLines = 400;
const sampleCharacters = 300_000;

/**
 * Delimited text as cells. Delimiter and decimal mark are found together, from the first lines: the pair under which
 * the rows that hold numbers hold the most numbers, the fewest words and the same count of cells.
 *
 * @param asked  what the user said of them, which is not weighed again
 */
export function readCells(
  text: string,
  asked: { readonly delimiter?: Delimiter; readonly mark?: DecimalMark } = {},
): TakenApart {
  const lines = text.replace(/\r\n?/g, "\n");
  const large = tooLarge(lines);
  if (large !== null)
    return { cells: [], delimiter: ",", decimalMark: ".", isMarkOpen: false, tooLarge: large };
  const sample = sampleOf(lines);
  let best: { delimiter: Delimiter; mark: DecimalMark; score: number; cells: string[][] } | null = null;
  for (const delimiter of asked.delimiter === undefined ? delimiters : [asked.delimiter]) {
    if (asked.delimiter === undefined && !sample.includes(delimiter) && best !== null) continue;
    if (asked.delimiter === undefined && delimiter === " " && isParted(sample)) continue;
    const cells = split(sample, delimiter);
    for (const mark of asked.mark === undefined ? marks : [asked.mark]) {
      const score = scoreOf(cells, delimiter, mark);
      if (best === null || score > best.score) best = { delimiter, mark, score, cells };
    }
  }
  const { delimiter, mark } = best ?? { delimiter: ",", mark: "." };
  const cells = best !== null && sample.length === lines.length ? best.cells : split(lines, delimiter);
  return {
    cells,
    delimiter,
    decimalMark: mark,
    isMarkOpen: asked.mark === undefined && isOpen(cells),
    tooLarge: null,
  };
}

/** Counted without taking the text apart, line by line, for each sign that can part its fields. */
function tooLarge(text: string): string | null {
  let rows = 0;
  let most = 0;
  for (let from = 0; from < text.length; rows++) {
    const found = text.indexOf("\n", from);
    const end = found < 0 ? text.length : found;
    // Too short to hold so many fields of one character each.
    if (end - from >= 2 * most) most = Math.max(most, signsIn(text.slice(from, end)));
    from = end + 1;
  }
  if (most >= maxColumns) return `${most + 1} columns`;
  return rows > maxRows ? `${rows} rows` : null;
}

/** How often the sign that parts a line most stands in it. Blanks part a line only where no other sign does: names hold them. */
function signsIn(line: string): number {
  const most = maxOf([",", ";", "\t", "|"].map((sign) => timesIn(line, sign)));
  // Blanks part fields however many stand together.
  if (most > 0) return most;
  const inside = line.trim();
  return timesIn(inside, " ", (at) => inside.charAt(at + 1) !== " ");
}

/** Counted without taking the text apart. */
function timesIn(text: string, sign: string, counts: (at: number) => boolean = () => true): number {
  let times = 0;
  for (let at = text.indexOf(sign); at >= 0; at = text.indexOf(sign, at + 1)) if (counts(at)) times++;
  return times;
}

/** So many of the lines with figures hold such a sign, and so many of those alike; the others are remarks. */
const maxHold = 0.5;
const maxAlike = 0.8;

/** Whether tabs, semicolons or bars part the lines of figures alike: then blanks stand inside the cells. */
function isParted(sample: string): boolean {
  const lines = sample.split("\n").filter((line) => /\d/.test(line));
  return (["\t", ";", "|"] as const).some((sign) => {
    const counts = lines.map((line) => timesIn(line, sign)).filter((count) => count > 0);
    const alike = [...new Set(counts)].map((count) => counts.filter((other) => other === count).length);
    return (
      counts.length > 2 && counts.length >= maxHold * lines.length && maxOf(alike) >= maxAlike * counts.length
    );
  });
}

function sampleOf(text: string): string {
  let end = 0;
  for (let line = 0; line < sampleLines && end >= 0 && end < sampleCharacters; line++)
    end = text.indexOf("\n", end + 1);
  return end < 0 ? text.slice(0, 4 * sampleCharacters) : text.slice(0, Math.min(end, 4 * sampleCharacters));
}

/** Blanks that look like the plain one. */
const hardBlanks = /[\u00a0\u2007\u2009\u202f\u3000]/g;

function split(text: string, delimiter: Delimiter): string[][] {
  const rows = delimiter === " " ? blankRows(text) : fieldsOf(text, delimiter);
  if (hardBlanks.test(text))
    for (const row of rows)
      for (let c = 0; c < row.length; c++) row[c] = (row[c] ?? "").replace(hardBlanks, " ").trim();
  return rows;
}

function fieldsOf(text: string, delimiter: Delimiter): string[][] {
  const { data, errors } = Papa.parse<string[]>(text, { delimiter, newline: "\n", skipEmptyLines: false });
  // A stray quote would swallow the lines up to the next one: then each line stands for itself.
  const rows = errors.some((e) => e.type === "Quotes")
    ? text.split("\n").map((line) => lineOf(line, delimiter))
    : data;
  for (const row of rows) for (let c = 0; c < row.length; c++) row[c] = (row[c] ?? "").trim();
  return rows;
}

function lineOf(line: string, delimiter: Delimiter): string[] {
  const { data, errors } = Papa.parse<string[]>(line, { delimiter, newline: "\n" });
  return errors.length === 0 && data[0] !== undefined ? data[0] : line.split(delimiter);
}

/** What is left of 0,05 or 5,443800e+1 when it is cut at its comma. */
const torn = /^0\d|^\d{3,}e[+-]?\d/i;

/**
 * How much a cell that is no number speaks against a split. A word without a figure is a name, which stands beside numbers
 * in many a table; but blanks stand inside words and ranges too. Two numbers with another delimiter between them are a
 * number cut in two.
 */
function wordWeight(cell: string, delimiter: Delimiter): number {
  if (/\d[;\t|]\d/.test(cell)) return 2;
  return delimiter === " " || (/\d/.test(cell) && !isLabel(cell)) ? 1 : 0.5;
}

/** A row's name, as K12, or a day or time: no number cut in two. */
function isLabel(cell: string): boolean {
  return (
    cell.length <= 20 &&
    /^(?:\p{L}{1,3} ?\d{1,3}|\d{4}-\d\d-\d\d|\d\d?[.:/]\d\d?(?:[.:/]\d{2,4})?)$/u.test(cell)
  );
}

const longestBare = 40;
/** Figures with one mark between them, or none; three behind it may be thousands, and are looked at closely. */
const bareNumber = /^[+-]?\d+(?:([.,])(?:\d\d?|\d{4,}))?$/;

/** Whether a cell is a number under this mark, and no part of one that was cut at its comma. */
function isSound(cell: string, mark: DecimalMark): boolean {
  if (!Number.isNaN(plainNumber(cell, mark))) return !torn.test(cell);
  const bare = cell.length <= longestBare ? bareNumber.exec(cell) : null;
  const isNumber =
    bare === null
      ? isSize(cell, mark) || shareIn(cell, mark) !== null
      : bare[1] === undefined || bare[1] === mark;
  return isNumber && !torn.test(cell);
}

function scoreOf(cells: readonly (readonly string[])[], delimiter: Delimiter, mark: DecimalMark): number {
  let score = 0;
  const widths = new Map<number, number>();
  let rows = 0;
  // D50 beside its size is what a row of percentiles holds, no word that speaks against the split; nor does "n.d.".
  const isMark = (cell: string) => percentileIn(cell) !== null || (delimiter !== " " && saysNothing(cell));
  for (const row of cells) {
    const filled = row.filter((cell) => cell !== "");
    const others = filled.filter((cell) => !isSound(cell, mark));
    const numbers = filled.length - others.length;
    if (numbers === 0) continue;
    const against = others.reduce((sum, cell) => sum + (isMark(cell) ? 0 : wordWeight(cell, delimiter)), 0);
    score += numbers - against;
    // A line above the table, such as a heading with its value, need not be as wide.
    if (numbers <= others.length) continue;
    rows++;
    widths.set(row.length, (widths.get(row.length) ?? 0) + 1);
  }
  return rows === 0 ? score : score * (0.75 + (0.25 * maxOf(widths.values())) / rows);
}

/** Some number reads either way and none tells the mark. */
function isOpen(cells: readonly (readonly string[])[]): boolean {
  let either = false;
  for (const row of cells.slice(0, sampleLines)) {
    for (const cell of row) {
      if (!cell.includes(",") && !cell.includes(".")) continue;
      const entered = decimalMarkStated(cell);
      if (entered === "." || entered === ",") return false;
      if (entered === "either") either = true;
    }
  }
  return either;
}
