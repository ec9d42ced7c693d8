import { itemAt } from "#distributions/lists.ts";
import { decode } from "./decode.ts";
import type { Delimiter } from "./delimiterAndDecimalMark.ts";
import { listOf, type NumberFields, numberFields, oddPlaces } from "./kernels/numberFields.ts";
import { numberIn } from "./numbers.ts";

/** A table of one heading row over rows of numbers, none of whose cells was taken out of the bytes yet. */
export interface NumberTable {
  readonly heading: readonly string[];
  readonly delimiter: Delimiter;
  /** What told that it is UTF-8. */
  readonly evidence: string;
  readonly rows: number;
  /** Whether a name stands before the numbers of each row, in a column of its own that is counted as all are. */
  readonly isNamed: boolean;
  /** The numbers of a column, in the order of its rows; null where one of them is more than plain figures. */
  readonly ofColumn: (column: number) => NumberList | null;
  /** The numbers of a row likewise. */
  readonly ofRow: (row: number) => NumberList | null;
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
const minRows = 10;
const maxColumns = 20_000;
const maxRows = 200_000;
const signs: readonly Exclude<Delimiter, " ">[] = [",", ";", "\t", "|"];

/**
 * A table of a heading row and numbers with decimal points, where nothing can be thought about sign and mark: under every
 * other sign a row is one cell that is no number, and some point cannot part thousands. Null for any other table, and for
 * one too large, which `readCells` takes apart.
 *
 * @param fewestColumns  that it must have
 */
export function numberTable(bytes: Uint8Array, fewestColumns: number): NumberTable | null {
  const headingEnd = bytes.indexOf(0x0a);
  if (headingEnd < 0) return null;
  const { text, encoding, evidence } = decode(bytes.subarray(0, headingEnd));
  if (encoding !== "utf-8" || /"|\r(?!$)/.test(text)) return null;
  const second = new TextDecoder("latin1").decode(bytes.subarray(headingEnd + 1, headingEnd + 201));
  const delimiter = signs.find((sign) => second.includes(sign));
  if (delimiter === undefined || (delimiter !== "," && text.includes(","))) return null;
  const heading = text.split(delimiter).map((cell) => cell.trim());
  if (heading.length < fewestColumns || heading.length >= maxColumns) return null;
  const isNamed = numberIn(second.slice(0, second.indexOf(delimiter)), ".") === null;
  const fields = numberFields(bytes, headingEnd + 1, { separator: delimiter.charCodeAt(0), isNamed });
  const named = isNamed ? 1 : 0;
  if (fields === null || fields.columns + named !== heading.length) return null;
  const { rows, columns, starts, ends } = fields;
  if (rows < minRows || rows >= maxRows || fields.toldAt < 0 || fields.toldAt > sampled) return null;
  const names = namesIn(bytes, fields);
  if (names === null) return null;
  const textAt = (place: number) =>
    String.fromCharCode(...bytes.subarray(itemAt(starts, place), itemAt(ends, place)));
  // What is not plain, such as 1e-5, must be a number all the same.
  if (oddPlaces(fields).some((place) => numberIn(textAt(place), ".") === null)) return null;
  return {
    heading,
    delimiter,
    evidence,
    rows,
    isNamed,
    ofColumn: (column) => listOf(fields, (column - named) * rows, { count: rows, step: 1 }),
    ofRow: (row) => listOf(fields, row, { count: columns, step: rows }),
    text: (row, column) => (column < named ? itemAt(names, row) : textAt((column - named) * rows + row)),
  };
}

/** The names of rows; null where a sign in one could mean more than a name. */
function namesIn(bytes: Uint8Array, { names }: NumberFields): readonly string[] | null {
  const found: string[] = [];
  const decoder = new TextDecoder("utf-8");
  for (let at = 0; at < names.length; at += 2) {
    const name = bytes.subarray(itemAt(names, at), itemAt(names, at + 1));
    // Letters beyond ASCII are left to the reader of cells, which tells one encoding from another over the whole file.
    if (name.some((byte) => byte >= 0x7f || byte < 0x20 || byte === 0x22 || byte === 0x2c)) return null;
    found.push(decoder.decode(name).trim());
  }
  return found;
}
