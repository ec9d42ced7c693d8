import { itemAt } from "#distributions/lists.ts";
import { decode } from "./decode.ts";
import type { Delimiter } from "./delimited.ts";
import { columnOf, type NumberFields, numberFields, oddPlaces } from "./kernels/numberFields.ts";
import { numberIn } from "./numbers.ts";

/** A table of one heading row over rows of numbers, none of whose cells was taken out of the bytes yet. */
export interface NumberTable {
  readonly heading: readonly string[];
  readonly delimiter: Delimiter;
  /** What told that it is UTF-8. */
  readonly evidence: string;
  readonly rows: number;
  /** The numbers of a column, in the order of its rows; null where one of them is more than plain figures. */
  readonly numbers: (column: number) => NumberList | null;
  readonly text: (row: number, column: number) => string;
}

/** The values of one list of cells that are all plain figures, and how many decimals the longest of them has. */
export interface NumberList {
  readonly values: readonly number[];
  readonly decimals: number;
}

/** Cells are scored to tell delimiter and mark among so many of the first characters at least. */
const sampled = 300_000;
/** Fewer rows could be outweighed by what their heading holds. */
const fewestRows = 10;
const mostColumns = 20_000;
const mostRows = 200_000;
const signs: readonly Exclude<Delimiter, " ">[] = [",", ";", "\t", "|"];

/**
 * A table of a heading row and numbers with decimal points, where nothing can be thought about sign and mark: under every
 * other sign a row is one cell that is no number, and some point cannot part thousands. Null for any other table, and for
 * one too large, which `readCells` takes apart.
 */
export function numberTable(bytes: Uint8Array, fewestColumns: number): NumberTable | null {
  const headingEnd = bytes.indexOf(0x0a);
  if (headingEnd < 0) return null;
  const { text, encoding, evidence } = decode(bytes.subarray(0, headingEnd));
  if (encoding !== "utf-8" || /"|\r(?!$)/.test(text)) return null;
  const second = new TextDecoder("latin1").decode(bytes.subarray(headingEnd + 1, headingEnd + 101));
  const delimiter = signs.find((sign) => second.includes(sign));
  if (delimiter === undefined) return null;
  const heading = text.split(delimiter).map((cell) => cell.trim());
  if (heading.length < fewestColumns || heading.length >= mostColumns) return null;
  const fields = numberFields(bytes, headingEnd + 1, delimiter.charCodeAt(0));
  if (fields === null || fields.columns !== heading.length) return null;
  if (fields.rows < fewestRows || fields.rows >= mostRows) return null;
  if (fields.toldAt < 0 || fields.toldAt > sampled) return null;
  const textAt = (place: number) => textOf(bytes, fields, place);
  // What is not plain, such as 1e-5, must be a number all the same.
  if (oddPlaces(fields).some((place) => numberIn(textAt(place), ".") === null)) return null;
  return {
    heading,
    delimiter,
    evidence,
    rows: fields.rows,
    numbers: (column) =>
      itemAt(fields.isOdd, column) !== 0
        ? null
        : { values: columnOf(fields, column), decimals: itemAt(fields.decimals, column) },
    text: (row, column) => textAt(column * fields.rows + row),
  };
}

function textOf(bytes: Uint8Array, { starts, ends }: NumberFields, place: number): string {
  return String.fromCharCode(...bytes.subarray(itemAt(starts, place), itemAt(ends, place)));
}
