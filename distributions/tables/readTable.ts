import { readJsonCopy } from "#distributions/tables/copies/jsonCopy.ts";
import type { Progress } from "#distributions/tables/reading/blockContext.ts";
import type { Guess } from "#distributions/tables/reading/guess.ts";
import { readWithUnknownMark } from "#distributions/tables/reading/openMark.ts";
import { type Reading, refusal } from "#distributions/tables/reading/reading.ts";
import { readTablesIn } from "#distributions/tables/reading/readTablesIn.ts";
import { strictly } from "#distributions/tables/reading/strictly.ts";
import { decode, mended } from "#distributions/tables/text/decode.ts";
import { type Delimiter, delimiterOf, readCells } from "#distributions/tables/text/delimited.ts";
import type { DelimiterOption, ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
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
  const how: Guess[] = [];
  if (decoded.encoding !== null)
    how.push({
      option: "encoding",
      value: decoded.encoding,
      source: options.encoding === undefined ? "table" : "option",
      evidence: decoded.evidence,
    });
  how.push({
    option: "delimiter",
    value: delimiterName[found.delimiter],
    source: options.delimiter === undefined ? "table" : "option",
    evidence:
      options.delimiter === undefined ? "it leaves the most numbers and the fewest words" : "your answer",
  });
  onProgress(cellsShare);
  const reading = found.isMarkOpen
    ? readWithUnknownMark(found, file, options, how)
    : readTablesIn(found, { file, options, how, onProgress });
  return options.strict === true ? strictly(reading) : reading;
}

/** The same for cells that are already apart, as a program sends them. */
export function readRows(
  rows: readonly (readonly (string | number | null)[])[],
  file: string | null,
  options: ReadingOptions,
): Reading {
  const cells = rows.map((row) => row.map((cell) => (cell === null ? "" : String(cell).trim())));
  return readTablesIn(
    {
      cells,
      delimiter: ",",
      decimalMark: options.decimal === "comma" ? "," : ".",
      isMarkOpen: false,
      tooLarge: null,
    },
    { file, options },
  );
}
