import { readJsonCopy } from "#distributions/tables/copies/jsonCopy.ts";
import type { Progress } from "#distributions/tables/reading/blockContext.ts";
import type { Guess } from "#distributions/tables/reading/guess.ts";
import { readWithUnknownMark } from "#distributions/tables/reading/openMark.ts";
import { type Reading, refusal } from "#distributions/tables/reading/reading.ts";
import { readNumberTable, readTablesIn } from "#distributions/tables/reading/readTablesIn.ts";
import { strictly } from "#distributions/tables/reading/strictly.ts";
import { decode, mended } from "#distributions/tables/text/decode.ts";
import {
  type Delimiter,
  delimiterOf,
  readCells,
} from "#distributions/tables/text/delimiterAndDecimalMark.ts";
import { numberTable } from "#distributions/tables/text/numberTable.ts";
import type {
  DelimiterOption,
  EncodingOption,
  ReadingOptions,
} from "#distributions/tables/text/readingOptions.ts";
import { problem } from "../problem.ts";

const delimiterName: Readonly<Record<Delimiter, DelimiterOption>> = {
  ",": "comma",
  ";": "semicolon",
  "\t": "tab",
  "|": "pipe",
  " ": "blanks",
};

/** What taking the text apart is of the whole work; measured on 10,000 columns. */
const cellsShare = 0.2;

/**
 * Reads a table of sizes and shares. Never throws: what cannot be read comes back as problems with their place.
 * What the table does not say about edges and quantity is asked, never guessed.
 *
 * @param table  bytes as received, or text
 * @param file        its name, for messages and for the name of a measurement without a heading
 * @param onProgress  called now and then with the share of the work that is done
 */
export function readTable(
  table: Uint8Array | string,
  file: string | null,
  options: ReadingOptions,
  onProgress: Progress = () => {},
): Reading {
  const numbers = typeof table === "string" ? null : readNumbers(table, file, { options, onProgress });
  return numbers ?? readCellByCell(table, file, options, onProgress);
}

/** The same for any table, its cells taken out one by one. */
export function readCellByCell(
  table: Uint8Array | string,
  file: string | null,
  options: ReadingOptions,
  onProgress: Progress = () => {},
): Reading {
  const decoded =
    typeof table === "string"
      ? { text: mended(table), encoding: null, evidence: "" }
      : decode(table, options.encoding);
  if (decoded.text.trim() === "") {
    return refusal(
      file,
      problem("refused", "The table is empty. Copy the sizes with their shares, headings included.", {
        file,
        found: "nothing",
        expected: "a table of sizes and shares",
      }),
    );
  }
  const copy = readJsonCopy(decoded.text, file);
  if (copy !== null) return { file, ...copy, how: [], tables: [], notes: [] };
  const found = readCells(decoded.text, {
    ...(options.delimiter === undefined ? {} : { delimiter: delimiterOf[options.delimiter] }),
    ...(options.decimal === undefined ? {} : { mark: options.decimal === "comma" ? "," : "." }),
  });
  const how = [
    ...(decoded.encoding === null ? [] : [encodingGuess(decoded.encoding, decoded.evidence, options)]),
    delimiterGuess(found.delimiter, options),
  ];
  onProgress(cellsShare);
  const reading = found.isMarkOpen
    ? readWithUnknownMark(found, file, options, how)
    : readTablesIn(found, { file, options, how, onProgress });
  return options.strict === true ? strictly(reading) : reading;
}

/** Fewer columns are read as quickly cell by cell. */
const fewestColumns = 64;

/**
 * A wide table of plain numbers, in one pass over its bytes; null for any other, which is read cell by cell. Both say the same
 * to the last word (tests/distributions/tables/numberTable.test.ts).
 *
 * @param fewest  columns a table has that is read so
 */
export function readNumbers(
  bytes: Uint8Array,
  file: string | null,
  { options, onProgress = () => {} }: { options: ReadingOptions; onProgress?: Progress },
  fewest: number = fewestColumns,
): Reading | null {
  const { delimiter, decimal, encoding, layout, roles } = options;
  if ([delimiter, decimal, encoding, layout, roles].some((answer) => answer !== undefined)) return null;
  const table = numberTable(bytes, fewest);
  if (table === null) return null;
  const how = [encodingGuess("utf-8", table.evidence, options), delimiterGuess(table.delimiter, options)];
  onProgress(cellsShare);
  const reading = readNumberTable(table, { file, options, how, onProgress });
  return reading !== null && options.strict === true ? strictly(reading) : reading;
}

function encodingGuess(value: EncodingOption, evidence: string, { encoding }: ReadingOptions): Guess {
  return { option: "encoding", value, source: encoding === undefined ? "table" : "option", evidence };
}

function delimiterGuess(sign: Delimiter, { delimiter }: ReadingOptions): Guess {
  return {
    option: "delimiter",
    value: delimiterName[sign],
    source: delimiter === undefined ? "table" : "option",
    evidence: delimiter === undefined ? "it leaves the most numbers and the fewest words" : "your answer",
  };
}

/** Cells that are already apart, as a program sends them. */
export type RowsOfCells = readonly (readonly (string | number | null)[])[];
/** A table as it comes: bytes as received, text, or rows of cells. */
export type GivenTable = Uint8Array | string | RowsOfCells;

/** Reads a table however it comes. */
export function readGiven(table: GivenTable, file: string | null, options: ReadingOptions): Reading {
  return typeof table === "string" || table instanceof Uint8Array
    ? readTable(table, file, options)
    : readRows(table, file, options);
}

/** About how many characters a table has. */
export function lengthOf(table: GivenTable): number {
  if (typeof table === "string" || table instanceof Uint8Array) return table.length;
  return table.reduce((sum, row) => sum + row.length, 0) * charactersOfCell;
}
const charactersOfCell = 8;

/** The same for cells that are already apart. */
export function readRows(rows: RowsOfCells, file: string | null, options: ReadingOptions): Reading {
  const cells = rows.map((row) => row.map((cell) => (cell === null ? "" : String(cell).trim())));
  const apart = {
    cells,
    delimiter: ",",
    decimalMark: options.decimal === "comma" ? "," : ".",
    isMarkOpen: false,
    tooLarge: null,
  } as const;
  const reading = readTablesIn(apart, { file, options });
  return options.strict === true ? strictly(reading) : reading;
}
