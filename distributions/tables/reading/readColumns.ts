import { type Problem, problem } from "#distributions/problem.ts";
import { readCells } from "#distributions/tables/text/delimited.ts";
import { numberIn } from "#distributions/tables/text/numbers.ts";

/** One row of a table with named columns: words where words were asked for, else numbers or null for an empty cell. */
export interface NamedRow {
  readonly row: number;
  readonly text: Readonly<Record<string, string>>;
  readonly number: Readonly<Record<string, number | null>>;
}

/** The number of a column that was required: rows without it are left out. @throws RangeError  a column that was not */
export function requiredIn({ number }: NamedRow, name: string): number {
  const value = number[name];
  if (value === undefined || value === null) throw new RangeError(`${name} was not required`);
  return value;
}

export interface Columns {
  readonly rows: readonly NamedRow[];
  readonly problems: readonly Problem[];
}

/**
 * A table with a heading row of known names, as trials and BET pairs are kept. A row with an unusable cell is left out
 * and said so; the others are kept.
 */
export function readColumns(
  text: string,
  file: string | null,
  names: {
    readonly words: readonly string[];
    readonly required: readonly string[];
    readonly optional: readonly string[];
    /** Words of a column that may be missing altogether; then they are "". */
    readonly optionalWords?: readonly string[];
  },
): Columns {
  const { cells, decimalMark } = readCells(text.replace(/^\ufeff/, ""));
  const start = cells.findIndex((row) => row.some((cell) => cell !== ""));
  const heading = (cells[start] ?? []).map((cell) => cell.toLowerCase());
  const columnOf = (name: string) => heading.indexOf(name.toLowerCase());
  const problems: Problem[] = [];
  for (const name of [...names.words, ...names.required]) {
    if (columnOf(name) >= 0) continue;
    problems.push(
      problem(
        "refused",
        `The heading row has no column ${name}. Name the columns ${[...names.words, ...names.required, ...names.optional].join(", ")}.`,
        {
          file,
          row: start < 0 ? null : start + 1,
          found: start < 0 ? "an empty table" : (cells[start] ?? []).join(", "),
          expected: name,
        },
      ),
    );
  }
  if (problems.length > 0) return { rows: [], problems };
  const rows: NamedRow[] = [];
  for (const [i, row] of cells.entries()) {
    if (i <= start || row.every((cell) => cell === "")) continue;
    const number: Record<string, number | null> = {};
    const faults: Problem[] = [];
    for (const name of [...names.required, ...names.optional]) {
      const column = columnOf(name);
      const cell = column < 0 ? "" : (row[column] ?? "");
      const value = cell === "" ? null : numberIn(cell, decimalMark);
      const isMissing = cell === "" && names.required.includes(name);
      if (isMissing || (cell !== "" && !(value !== null && value > 0))) {
        faults.push(
          problem(
            "refused",
            `Row ${i + 1}: ${name} must be a number above zero. The row is left out; correct it and bring it in again.`,
            {
              file,
              row: i + 1,
              column: column + 1,
              found: cell === "" ? "an empty cell" : cell,
              expected: "a number above zero",
            },
          ),
        );
      }
      number[name] = value;
    }
    problems.push(...faults);
    if (faults.length === 0) {
      rows.push({
        row: i + 1,
        text: Object.fromEntries(
          [...names.words, ...(names.optionalWords ?? [])].map((name) => [name, row[columnOf(name)] ?? ""]),
        ),
        number,
      });
    }
  }
  return { rows, problems };
}
