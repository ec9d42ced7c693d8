import { itemAt, neighbours } from "#distributions/lists.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { Parsed } from "#distributions/tables/text/parsed.ts";
import { foreignUnitIn, unitIn } from "#distributions/tables/text/units.ts";
import { isPan, isSummaryWord, percentileIn, saysGrams, saysSize } from "#distributions/tables/text/words.ts";
import { filledIn, type Grid, type Rows } from "./block.ts";
import { addsToWhole } from "./wholes.ts";

/** Fewer sieves above it make no stack. */
const minSieves = 3;
/** A column of sizes stands at the left. */
const looked = 4;

/**
 * The same cells, with "pan" where a row below the finest sieve has another name, a sign or nothing in place of a size. A
 * word that no list holds is a pan only where the numbers need its row for their whole, or where masses are weighed.
 */
export function withPans(grid: Grid): { readonly grid: Grid; readonly remarks: readonly Problem[] } {
  const { cells, parsed } = grid;
  const changed = new Map<number, readonly string[]>();
  const remarks: Problem[] = [];
  for (const [r, row] of cells.entries()) {
    const c = panColumn(cells, r, parsed);
    if (c === null) continue;
    const text = row[c] ?? "";
    changed.set(
      r,
      row.map((cell, k) => (k === c ? "pan" : cell)),
    );
    const what = text === "" ? "Nothing" : `"${text}"`;
    remarks.push(
      problem(
        "note",
        `${what} stands for the size in row ${r + 1}, below the finest sieve: read as the pan.`,
        {
          row: r + 1,
          column: c + 1,
          found: text === "" ? "an empty cell" : text,
          effect: "its share lies below the finest sieve",
        },
      ),
    );
  }
  if (changed.size === 0) return { grid, remarks };
  return { grid: { ...grid, cells: cells.map((row, r) => changed.get(r) ?? row) }, remarks };
}

/** In which column a row that is a pan has no size; null for every other row. */
function panColumn(cells: Rows, r: number, parsed: Parsed): number | null {
  const row = cells[r] ?? [];
  for (let c = 0; c < looked; c++) {
    const text = row[c] ?? "";
    // A row with a size has its own, and what stands behind it is a share.
    if (parsed.isSize(text)) return null;
    if (!canBePan(text)) continue;
    for (const step of [-1, 1]) {
      const stack = stackFrom(cells, r + step, { step, column: c, parsed });
      if (stack.length < minSieves || !isBeside(row, itemAt(stack, 0), c, parsed)) continue;
      // On top of a stack that rises, a row of words and numbers may be its heading.
      if (step === 1 && !isHeading(cells[r - 1] ?? [], parsed)) continue;
      const top = step === -1 ? r - stack.length : r;
      const heading = cells.slice(0, top).findLast((line) => filledIn(line) >= 2) ?? [];
      if (isProven(row, stack, c, parsed)) return c;
      if (weighsMasses(heading, row, stack, { column: c, parsed })) return c;
    }
  }
  return null;
}

function canBePan(text: string): boolean {
  const isOfSizes = saysSize(text) || unitIn(text) !== null || foreignUnitIn(text) !== null;
  return (
    !isPan(text) && !isSummaryWord(text) && percentileIn(text) === null && !isOfSizes && text.length <= 40
  );
}

/** Rows from one on whose sizes in a column only become coarser. */
function stackFrom(
  cells: Rows,
  from: number,
  { step, column, parsed }: { readonly step: number; readonly column: number; readonly parsed: Parsed },
): readonly (readonly string[])[] {
  const stack: (readonly string[])[] = [];
  let last = 0;
  for (let r = from; r >= 0 && r < cells.length; r += step) {
    const row = cells[r] ?? [];
    const size = parsed.um(row[column] ?? "");
    if (!(size > last)) break;
    last = size;
    stack.push(row);
  }
  return stack;
}

/** Whether two rows have numbers in the same columns. */
function isBeside(row: readonly string[], sieve: readonly string[], column: number, parsed: Parsed): boolean {
  const width = Math.max(row.length, sieve.length);
  let both = 0;
  for (let c = 0; c < width; c++) {
    if (c === column) continue;
    const [isHere, isThere] = [row, sieve].map((one) => parsed.share(one[c] ?? "") !== null);
    if (isHere !== isThere) return false;
    if (isHere === true) both++;
  }
  return both > 0;
}

function isHeading(row: readonly string[], parsed: Parsed): boolean {
  return filledIn(row) >= 2 && row.every((text) => text === "" || parsed.number(text) === null);
}

/** Whether in every column the row is what the sieves lack of their whole, or the end of a cumulative curve. */
function isProven(
  row: readonly string[],
  stack: readonly (readonly string[])[],
  column: number,
  parsed: Parsed,
): boolean {
  return row.every((text, c) => {
    const own = c === column ? null : parsed.share(text);
    if (own === null) return true;
    const others = stack.flatMap((sieve) => parsed.share(sieve[c] ?? "") ?? []);
    if (others.length < stack.length) return false;
    const isWhole = own > 0 && addsToWhole([own, ...others]) && lackOf([own, ...others]) < lackOf(others);
    const [finest, coarsest] = [itemAt(others, 0), itemAt(others, -1)];
    const isLeast = own === 0 && isOneWay(others, 1) && coarsest >= 0.5;
    const isMost = (own === 1 || own === 100) && isOneWay(others, -1);
    return isWhole || (isLeast && coarsest > finest) || (isMost && coarsest < finest);
  });
}

/** Whether each value is at least the one before, or with a sign of −1 at most. */
function isOneWay(values: readonly number[], sign: 1 | -1): boolean {
  return neighbours(values).every(([before, v]) => sign * (v - before) >= 0);
}

/** How far values are from adding to 1 or 100, as a part of it. */
function lackOf(values: readonly number[]): number {
  const sum = values.reduce((a, b) => a + b, 0);
  return Math.min(Math.abs(sum - 1), Math.abs(sum / 100 - 1));
}

/** A mass this near to all others together is what went in, or came out. */
const nearTotal = 0.9;

/** Whether masses are weighed, as the heading above says, and the row is not their sum. */
function weighsMasses(
  heading: readonly string[],
  row: readonly string[],
  stack: readonly (readonly string[])[],
  { column, parsed }: { readonly column: number; readonly parsed: Parsed },
): boolean {
  const massesIn = (c: number) => stack.flatMap((sieve) => parsed.number(sieve[c] ?? "") ?? []);
  return row.every((text, c) => {
    if (text === "" || c === column) return true;
    const own = parsed.number(text);
    const others = massesIn(c).reduce((a, b) => a + b, 0);
    return own !== null && saysGrams(heading[c] ?? "") && own < nearTotal * others;
  });
}
