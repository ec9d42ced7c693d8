import { type Problem, problem } from "#distributions/problem.ts";
import { readCells } from "#distributions/tables/text/delimiterAndDecimalMark.ts";
import { numberIn } from "#distributions/tables/text/numbers.ts";

/** A table whose first column names lots and whose other columns hold numbers, in the order of its rows. */
export interface HistoryTable {
  readonly lots: readonly string[];
  /** Only columns that hold numbers; null where a cell is empty. */
  readonly columns: readonly { readonly name: string; readonly values: readonly (number | null)[] }[];
  readonly problems: readonly Problem[];
}

/** Reads HISTORY.csv: a heading row, a row a lot. Columns of words are left out with a note; a single bad cell is refused. */
export function readHistory(text: string, file: string | null): HistoryTable {
  const { cells, decimalMark } = readCells(text.replace(/^\ufeff/, ""));
  const rows = cells.filter((row) => row.some((cell) => cell !== ""));
  const [heading = [], ...body] = rows;
  if (body.length === 0 || heading.length < 2)
    return {
      lots: [],
      columns: [],
      problems: [
        problem(
          "refused",
          "The history has no rows. Give a heading row, then a row a lot: its name first, then numbers.",
          { file, found: `${rows.length} rows`, expected: "a heading row and a row a lot" },
        ),
      ],
    };
  const problems: Problem[] = [];
  const columns = heading.slice(1).flatMap((name, c) => {
    const given = body.map((row) => row[c + 1] ?? "");
    const values = given.map((cell) => (cell === "" ? null : numberIn(cell, decimalMark)));
    const bad = given.findIndex((cell, i) => cell !== "" && values[i] === null);
    if (bad < 0) return [{ name, values }];
    const numbers = values.filter((v) => v !== null).length;
    const isWords = numbers === 0;
    problems.push(
      problem(
        isWords ? "note" : "refused",
        isWords
          ? `The column ${name} holds words and is left out.`
          : `${name} of ${body[bad]?.[0] ?? ""} is no number; the column is left out. Correct it and bring it in again.`,
        { file, row: bad + 2, column: c + 2, found: given[bad] ?? "", expected: "a number or an empty cell" },
      ),
    );
    return [];
  });
  return { lots: body.map((row) => row[0] ?? ""), columns, problems };
}
