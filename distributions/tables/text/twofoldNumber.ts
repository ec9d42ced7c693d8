import { type Problem, problem } from "#distributions/problem.ts";
import { numberIn } from "./numbers.ts";

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
      const [point, comma] = [numberIn(cell, "."), numberIn(cell, ",")];
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
