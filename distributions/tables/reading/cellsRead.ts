import type { Rows } from "#distributions/tables/layout/block.ts";
import { delimiterOf, readCells } from "#distributions/tables/text/delimiterAndDecimalMark.ts";
import { delimiterOptions } from "#distributions/tables/text/readingOptions.ts";
import { sheetsIn } from "#distributions/tables/workbook/sheets.ts";
import type { Reading } from "./reading.ts";
import type { TableReading } from "./tableReading.ts";

/** The cells of a text as a reading took them apart, of the sheet that a table stands in; rows count as the reading's do. */
export function cellsRead(text: string, { how }: Reading, { sheet }: TableReading): Rows {
  const word = how.find((guess) => guess.option === "delimiter")?.value;
  const option = delimiterOptions.find((o) => o === word);
  const mark = how.find((guess) => guess.option === "decimal")?.value === "comma" ? "," : ".";
  const { cells } = readCells(text, {
    ...(option === undefined ? {} : { delimiter: delimiterOf[option] }),
    mark,
  });
  const sheets = sheetsIn(cells);
  return (sheets.find((one) => one.sheet === (sheet ?? null)) ?? sheets[0])?.cells ?? [];
}
