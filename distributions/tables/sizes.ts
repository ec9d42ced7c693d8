import { type Problem, problem } from "../problem.ts";
import { type DecimalMark, numberIn } from "./delimited.ts";
import { figuresText } from "./figuresText.ts";
import type { Cell } from "./layout.ts";
import type { UnitOption } from "./readingOptions.ts";
import { umPerUnit } from "./readingOptions.ts";
import { unitIn } from "./words.ts";

/** Sizes of a table, rising, in µm, with the order in which its rows have to be taken. */
export interface Sizes {
  /** One list, or lower and upper. */
  readonly listsUm: readonly (readonly number[])[];
  /** Row of the table for each rising size. */
  readonly order: readonly number[];
}

/** One metre: larger is no powder, but a slip of unit or a number that ran off. */
const largestUm = 1e6;

/** Reads the size cells, turns a falling list round, and refuses what is no list of sizes. */
export function sizesOf(
  lists: readonly (readonly Cell[])[],
  mark: DecimalMark,
  unit: Exclude<UnitOption, "phi">,
): Sizes | Problem {
  const read: number[][] = [];
  for (const [side, cells] of lists.entries()) {
    const values: number[] = [];
    for (const cell of cells) {
      // An empty upper edge is the open end of the coarsest class.
      const value = side === 1 && cell.text === "" ? Number.POSITIVE_INFINITY : sizeIn(cell, mark, unit);
      // A zero is the open lower end of the finest class, where there are two edges or a cumulative curve.
      if (typeof value !== "number") return value;
      values.push(value);
    }
    read[side] = values;
  }
  const [first = []] = read;
  const isFalling = (first[0] ?? 0) > (first.at(-1) ?? 0);
  const order = first.map((_, i) => (isFalling ? first.length - 1 - i : i));
  const listsUm = read.map((list) => order.map((i) => list[i] ?? 0));
  for (const [side, list] of listsUm.entries()) {
    for (const [k, value] of list.entries()) {
      const before = list[k - 1];
      if (before === undefined || value > before) continue;
      const cell = lists[side]?.[order[k] ?? 0];
      return problem(
        "refused",
        `Sizes are out of order at row ${cell?.row ?? "?"}, column ${cell?.column ?? "?"}: ${figuresText(value)} µm ${value === before ? "stands twice" : `comes after ${figuresText(before)} µm`}. Put the sizes in order, each once.`,
        {
          row: cell?.row ?? null,
          column: cell?.column ?? null,
          found: cell?.text ?? null,
          expected: "sizes that only rise or only fall",
        },
      );
    }
  }
  return { listsUm, order };
}

function sizeIn(cell: Cell, mark: DecimalMark, unit: Exclude<UnitOption, "phi">): number | Problem {
  const bare = cell.text.replace(/^[<>≤≥]\s*/, "");
  const own = unitIn(bare);
  const number = numberIn(bare.replace(/\s*(um|µm|μm|nm|mm)$/i, ""), mark);
  const value = number === null ? null : number * umPerUnit[own === null || own === "phi" ? unit : own];
  if (value !== null && value >= 0 && value <= largestUm) return value;
  const why =
    value === null
      ? "is no size"
      : value < 0
        ? "is negative"
        : "is larger than a metre, so the unit or the number is wrong";
  return problem(
    "refused",
    `Row ${cell.row}, column ${cell.column}: "${cell.text}" ${why}. Correct it, or say the unit of the sizes.`,
    {
      row: cell.row,
      column: cell.column,
      found: cell.text === "" ? "an empty cell" : cell.text,
      expected: "a size above zero",
    },
  );
}
