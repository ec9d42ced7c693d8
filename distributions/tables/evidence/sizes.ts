import { itemAt, zip } from "#distributions/lists.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { Cell } from "#distributions/tables/layout/block.ts";
import { figuresText } from "#distributions/tables/text/figuresText.ts";
import { apertureUm } from "#distributions/tables/text/meshNumbers.ts";
import type { Parsed } from "#distributions/tables/text/parsed.ts";
import type { UnitOption } from "#distributions/tables/text/readingOptions.ts";

/** Sizes of a table, rising, in µm, with the order in which its rows have to be taken. */
export interface SizeColumn {
  /** One list, or lower and upper. */
  readonly listsUm: readonly (readonly number[])[];
  /** Row of the table for each rising size. */
  readonly order: readonly number[];
  /** Whether the first class holds all that is finer ("<0.1"), the last all that is coarser (">100"). */
  readonly open: { readonly below: boolean; readonly above: boolean };
  /** Every size stands behind the same sign: "<1", "<2", "<5". */
  readonly signs: "below" | "above" | null;
  readonly remarks: readonly Problem[];
}

/** One metre: larger is no powder, but a slip of unit or a number that ran off. */
const largestUm = 1e6;

/** A size of a unit in µm; null for a mesh number that no series has. */
function inUm(value: number, unit: UnitOption): number | null {
  switch (unit) {
    case "um":
      return value;
    case "nm":
      return value * 1e-3;
    case "mm":
      return value * 1e3;
    case "m":
      return value * 1e6;
    case "phi":
      // phi = −log2(d / 1 mm). Source: W. C. Krumbein 1934.
      return 1000 * 2 ** -value;
    case "mesh":
      return value === 0 ? 0 : apertureUm(value);
  }
}

/** Reads the size cells, turns a falling list round, and refuses what is no list of sizes. */
export function sizeColumnOf(
  lists: readonly (readonly Cell[])[],
  parsed: Parsed,
  unit: UnitOption,
): SizeColumn | Problem {
  const read: number[][] = [];
  const signs: ("below" | "above" | null)[] = [];
  const foreign: { cell: Cell; unit: UnitOption }[] = [];
  for (const [side, cells] of lists.entries()) {
    const values: number[] = [];
    for (const cell of cells) {
      // An empty upper edge is the open end of the coarsest class.
      if (side === 1 && cell.text === "") {
        values.push(Number.POSITIVE_INFINITY);
        continue;
      }
      const found = parsed.size(cell.text);
      const own = found?.unit ?? unit;
      const value = found === null ? null : inUm(found.value, own);
      if (found === null || value === null || !(value >= 0 && value <= largestUm))
        return noSize(cell, value, own);
      if (found.unit !== null && found.unit !== unit) foreign.push({ cell, unit: found.unit });
      if (side === 0) signs.push(found.open);
      values.push(value);
    }
    read[side] = values;
  }
  const [first = [], second] = read;
  const isFalling = first.length > 0 && itemAt(first, 0) > itemAt(first, -1);
  const order = first.map((_, i) => (isFalling ? first.length - 1 - i : i));
  const swapped = second !== undefined && zip(first, second).every(([lower, upper]) => lower > upper);
  const listsUm = (swapped ? read.toReversed() : read).map((list) => order.map((i) => itemAt(list, i)));
  const same =
    signs.length > 1 && signs.every((s) => s !== null && s === signs[0]) ? (signs[0] ?? null) : null;
  const rising = order.map((i) => itemAt(signs, i));
  const single = lists.length === 1 && same === null;
  const open = { below: single && rising[0] === "below", above: single && rising.at(-1) === "above" };
  const disorder = outOfOrder(listsUm, order, lists, open);
  if (disorder !== null) return disorder;
  return { listsUm, order, open, signs: same, remarks: unitRemarks(foreign, unit, first, lists[0] ?? []) };
}

function outOfOrder(
  listsUm: readonly (readonly number[])[],
  order: readonly number[],
  lists: readonly (readonly Cell[])[],
  open: SizeColumn["open"],
): Problem | null {
  for (const [side, list] of listsUm.entries()) {
    for (const [k, value] of list.entries()) {
      const before = list[k - 1];
      if (before === undefined || value > before) continue;
      const isOpenTwin =
        value === before && ((k === 1 && open.below) || (k === list.length - 1 && open.above));
      if (isOpenTwin) continue;
      const cells = itemAt(lists, side);
      const cell = itemAt(cells, itemAt(order, k));
      const twin = itemAt(cells, itemAt(order, k - 1));
      const rows = [twin.row, cell.row].sort((a, b) => a - b);
      return problem(
        "refused",
        `Sizes are out of order at row ${cell.row}, column ${cell.column}: ${figuresText(value)} µm ${value === before ? `stands twice (rows ${rows.join(" and ")})` : `comes after ${figuresText(before)} µm`}. Put the sizes in order, each once; if commas are decimal marks here, set another sign between the fields.`,
        {
          row: cell.row,
          column: cell.column,
          found: cell.text,
          expected: "sizes that only rise or only fall",
        },
      );
    }
  }
  return null;
}

function noSize(cell: Cell, value: number | null, unit: UnitOption): Problem {
  const why =
    value === null
      ? unit === "mesh"
        ? "is no mesh number of ASTM E11"
        : cell.text.startsWith("=")
          ? "is a formula, not the size it gives"
          : "is no size"
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

function unitRemarks(
  foreign: readonly { cell: Cell; unit: UnitOption }[],
  unit: UnitOption,
  valuesUm: readonly number[],
  cells: readonly Cell[],
): Problem[] {
  const remarks: Problem[] = [];
  const [one] = foreign;
  if (one !== undefined)
    remarks.push(
      problem(
        "note",
        `Row ${one.cell.row} is in ${one.unit}${foreign.length > 1 ? ` (and ${foreign.length - 1} more)` : ""}, the others in ${unit}: each was taken in its own unit.`,
        {
          row: one.cell.row,
          column: one.cell.column,
          found: one.cell.text,
          expected: unit,
        },
      ),
    );
  const k = valuesUm.findIndex((v) => v > 0);
  if (k < 0) return remarks;
  const example = `${itemAt(cells, k).text.replace(/\s*(phi|φ|mesh)$/i, "")} ${unit} = ${figuresText(itemAt(valuesUm, k))} µm`;
  if (unit === "phi") remarks.push(problem("note", `Sizes fall while phi rises: read as phi; ${example}.`));
  if (unit === "mesh")
    remarks.push(
      problem(
        "note",
        `Read as mesh numbers, which have the apertures of ASTM E11: ${example}. If they are sizes, say their unit.`,
        { effect: "every size changes" },
      ),
    );
  return remarks;
}
