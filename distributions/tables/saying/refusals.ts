import { itemAt } from "#distributions/lists.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { Cell } from "#distributions/tables/layout/block.ts";
import type { TakenApart } from "#distributions/tables/text/delimiterAndDecimalMark.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";

export function noTableIn(sheet: string): Problem {
  return { ...problem("note", `The sheet "${sheet}" holds no table of sizes and was left out.`), sheet };
}

/** A name that was asked for and is not there. */
export function notNamed(
  options: ReadingOptions,
  names: ReadonlyMap<string, number>,
  file: string | null,
): Problem[] {
  const all = [...names].flatMap(([name, count]) =>
    Array.from({ length: count }, (_, i) => (i === 0 ? name : `${name} (${i + 1})`)),
  );
  return (options.only ?? [])
    .filter((name) => !all.includes(name))
    .map((name) =>
      problem("refused", `There is no measurement named ${name}. The table has ${all.join(", ")}.`, {
        file,
        measurement: name,
        found: all.join(", "),
        expected: name,
      }),
    );
}

export function tooLarge(found: string, file: string | null): Problem {
  return problem(
    "refused",
    `The table has ${found}, more than is read at once. Bring it in in parts of at most 20,000 columns and 200,000 rows.`,
    {
      file,
      found,
      expected: "at most 20,000 columns and 200,000 rows",
    },
  );
}

/** Twice as many cells as the heading has: the commas between fields are inside the numbers too. */
export function tornByCommas(
  { cells, delimiter, decimalMark }: TakenApart,
  file: string | null,
): Problem | null {
  if (delimiter !== "," || decimalMark !== ".") return null;
  const isWhole = (cell: string) => /^[+-]?\d+$/.test(cell);
  const r = cells.findIndex(
    (row, i) =>
      row.length >= 2 &&
      row.every((cell) => cell !== "" && !/^\d/.test(cell)) &&
      (cells[i + 1] ?? []).every(isWhole),
  );
  if (r < 0) return null;
  const width = itemAt(cells, r).length;
  const below = cells.slice(r + 1).filter((row) => row.some((cell) => cell !== ""));
  if (below.length < 2 || !below.every((row) => row.length === 2 * width && row.every(isWhole))) return null;
  return problem(
    "refused",
    `Each row has ${2 * width} cells under ${width} headings: the commas stand between the fields and inside the numbers. Save the table with semicolons or tabs between the fields, or put the numbers in quotes.`,
    {
      file,
      row: r + 2,
      found: `${2 * width} cells`,
      expected: `${width} cells`,
    },
  );
}

export function noValues(row: number | null, file: string | null): Problem {
  return problem(
    "refused",
    `The table${row === null ? "" : ` at row ${row}`} has sizes, but no column of shares beside them could be read. Give a number for each size.`,
    {
      file,
      row,
      found: "sizes without shares",
      expected: "a share for each size",
    },
  );
}

export function noTable(found: TakenApart, file: string | null): Problem {
  const r = found.cells.findIndex((row) => row.some((c) => c !== ""));
  return problem(
    "refused",
    "No table was found: no row holds a size and a share. Give sizes in the first column and shares beside them, or sizes across the top; with decimal commas set a semicolon or tab between the fields.",
    {
      file,
      row: r + 1,
      column: 1,
      found: (found.cells[r]?.filter((c) => c !== "").join(" ") ?? "").slice(0, 80),
      expected: "rows of numbers",
    },
  );
}

/** @param at  the value or size that stands alone */
export function oneClass(at: Cell | undefined): Problem {
  return problem("refused", "One class alone makes no distribution. Bring in the whole table.", {
    row: at?.row ?? null,
    column: at?.column ?? null,
    found: "one class",
    expected: "two classes or more",
  });
}
