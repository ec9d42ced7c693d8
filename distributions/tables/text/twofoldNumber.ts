import { type Problem, problem } from "#distributions/problem.ts";
import { type DecimalMark, decimalMarkStated, numberIn } from "./numbers.ts";

/**
 * The first number that reads in two ways, where three figures stand behind every sign of a table: thousands, or decimals.
 *
 * @param rows  cells below the heading; `at.row` is that of the first, counted from 1
 */
export function twofoldNumber(
  rows: readonly (readonly string[])[],
  at: { readonly file: string | null; readonly row: number },
): Problem[] {
  for (const [i, row] of rows.entries())
    for (const [c, cell] of row.entries()) {
      const { figures } = beforeUnit(cell);
      const [point, comma] = [numberIn(figures, "."), numberIn(figures, ",")];
      if (point === null || comma === null || point === comma) continue;
      return [
        problem(
          "refused",
          `"${cell}" can be ${Math.min(point, comma)} or ${Math.max(point, comma)}, and no other number of the table tells which. Write decimals with a point, and thousands without a sign.`,
          {
            file: at.file,
            row: at.row + i,
            column: c + 1,
            found: cell,
            expected: "a number with one meaning",
          },
        ),
      ];
    }
  return [];
}

/**
 * The number before a unit, whose mark the cells around do not prove: null where three figures stand behind the other mark,
 * which are decimals or thousands.
 */
export function figuresIn(figures: string, mark: DecimalMark): number | null {
  const other = mark === "." ? "," : ".";
  if (/^[+-]?\d{1,3}[.,]\d{3}$/.test(figures) && figures.includes(other)) return null;
  return numberIn(figures, mark) ?? numberIn(figures, other);
}

/** What stands before a unit in a cell, and the unit; a cell of figures alone has none. */
export function beforeUnit(cell: string): { readonly figures: string; readonly unit: string } {
  const [, figures = cell, unit = ""] =
    /^([+−-]?\d[\d.,']*)\s*([^\d\s.,]\S*(?: \S+)?)$/.exec(cell.trim()) ?? [];
  return { figures, unit };
}

/**
 * The decimal mark of a table with named columns, as its numbers prove it, those with a unit behind them as well; open where
 * three figures stand behind every mark.
 *
 * @param rows  cells below the heading
 * @param read  the mark that taking the text apart came to, for a table whose numbers prove none or both
 */
export function markProven(
  rows: readonly (readonly string[])[],
  read: DecimalMark,
): { readonly mark: DecimalMark; readonly isOpen: boolean } {
  const stated = new Set(
    rows.flatMap((row) => row.map((cell) => decimalMarkStated(beforeUnit(cell).figures))),
  );
  const proven = ([".", ","] as const).filter((mark) => stated.has(mark));
  const [only = read] = proven;
  return proven.length === 1
    ? { mark: only, isOpen: false }
    : { mark: read, isOpen: proven.length === 0 && stated.has("either") };
}
