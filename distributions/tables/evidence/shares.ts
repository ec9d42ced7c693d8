import { itemAt, maxOf, neighbours } from "#distributions/lists.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { Cell } from "#distributions/tables/layout/block.ts";
import { sumHigh, sumLow } from "#distributions/tables/layout/wholes.ts";
import { figuresText } from "#distributions/tables/text/figuresText.ts";
import type { ScaleOption, SumOption, ValuesOption } from "#distributions/tables/text/readingOptions.ts";
import type { SeriesGuess } from "./seriesContext.ts";

/** The shares of one measurement: one a class, and what lies outside them. */
export interface Shares {
  readonly shares: readonly number[];
  readonly belowShare: number;
  readonly aboveShare: number;
  readonly remarks: readonly Problem[];
  /** What fitting the values to the classes told of their kind and scale; absent where that was known before. */
  readonly how?: readonly SeriesGuess[];
}

/** The cells that values stand in, taken out only where one must be pointed at. */
export interface CellsOfValues {
  readonly cells: readonly Cell[];
}

/** Shares that miss the whole by more than this are not the whole. */
const maxLack = 0.01;
/** Sums within this of the whole are divided out without a word. */
export const quietSum = 0.0005;
const quietDrop = 0.0005;
/** A sum this near the whole is left as it is, so that a copy reads back to the last digit. */
const wholeEnough = 1e-9;
/** Guards the stated limits against the last bit of a decimal: 0.0005 written as 99.95 % is still within. */
const ulp = 1e-12;

/** Whether shares are fractions or per cents, where no word says it: fractions reach 1.005 at most, or 1.01 as shares that are asked about. */
export function scaleOf(values: readonly number[], kind: ValuesOption): ScaleOption {
  const reach = kind === "class" ? values.reduce((a, b) => a + b, 0) : maxOf(values);
  // Shares that miss their whole by a hundredth are still fractions of it, and are asked about.
  return reach <= (kind === "class" ? 1 + maxLack : 1.005) ? "fraction" : "percent";
}

/** Counts or masses as shares: each divided by their total. */
export function sharesOfAmounts(values: readonly number[], cells: readonly Cell[]): Shares | Problem {
  const negative = values.findIndex((v) => v < 0);
  if (negative >= 0) return negativeProblem(itemAt(cells, negative));
  const sum = values.reduce((a, b) => a + b, 0);
  if (!(sum > 0 && Number.isFinite(sum))) {
    return problem(
      "refused",
      "The amounts add to nothing that can be shared out. Bring in the counts or masses of each class.",
      {
        column: sameColumn(cells),
        row: sameRow(cells),
        found: figuresText(sum),
        expected: "a total above zero",
      },
    );
  }
  return {
    shares: Object.freeze(values.map((v) => v / sum)),
    belowShare: 0,
    aboveShare: 0,
    remarks: [
      problem("note", `Counts or masses were divided by their total, ${figuresText(sum)}.`, {
        found: figuresText(sum),
      }),
    ],
  };
}

/** Shares given class by class; a sum near the whole is divided out, any other is refused. */
export function sharesOfClasses(
  values: readonly number[],
  at: CellsOfValues,
  asked: SumOption | undefined,
): Shares | Problem {
  const negative = values.findIndex((v) => v < 0);
  if (negative >= 0) return negativeProblem(itemAt(at.cells, negative));
  const sum = values.reduce((a, b) => a + b, 0);
  const isNear = Math.abs(sum - 1) <= maxLack + ulp;
  if (!(sum >= sumLow - ulp && sum <= sumHigh + ulp) && !(isNear && asked === "divide")) {
    const gap = 1 - sum;
    const { cells } = at;
    if (isNear) return sumQuestion(sum, cells);
    const what =
      gap > 0
        ? `${figuresText(100 * gap)} % of the whole is missing: look for classes that were left out, above or below`
        : `that is ${figuresText(-100 * gap)} % too much: look for a class given twice, or a column that is cumulative`;
    const mend =
      "If the values are no shares, say what they are: counts or masses (scale amount), cumulative, or a density.";
    return problem("refused", `The shares add to ${figuresText(100 * sum)} %; ${what}. ${mend}`, {
      column: sameColumn(cells),
      row: sameRow(cells),
      found: `a sum of ${figuresText(100 * sum)} %`,
      expected: "a sum between 99.4 and 100.6 %",
    });
  }
  const remarks =
    Math.abs(sum - 1) > quietSum + ulp
      ? [
          problem("note", `The shares add to ${figuresText(100 * sum)} % and were divided by their sum.`, {
            found: `${figuresText(100 * sum)} %`,
            expected: "100 %",
            effect: `every share times ${figuresText(1 / sum)}`,
          }),
        ]
      : [];
  return {
    shares: Object.freeze(Math.abs(sum - 1) <= wholeEnough ? [...values] : values.map((v) => v / sum)),
    belowShare: 0,
    aboveShare: 0,
    remarks,
  };
}

/** Shares that nearly make a whole: divided by their sum only where a person says that nothing was left out. */
function sumQuestion(sum: number, cells: readonly Cell[]): Problem {
  return {
    ...problem(
      "question",
      `The shares add to ${figuresText(100 * sum)} %. Say whether to divide them by their sum; if a class was left out, bring the whole table in.`,
      {
        column: sameColumn(cells),
        row: sameRow(cells),
        found: `a sum of ${figuresText(100 * sum)} %`,
        expected: "a sum between 99.4 and 100.6 %",
      },
    ),
    choices: [{ option: "sum", value: "divide", d50Um: null }],
  };
}

/** Shares from undersize values at rising sizes: the first is the share below, the rest to 1 the share above. */
export function sharesOfUndersize(values: readonly number[], of: CellsOfValues): Shares | Problem {
  const remarks: Problem[] = [];
  const levelled: number[] = [];
  let reached = 0;
  for (const [i, value] of values.entries()) {
    if (value < 0) return negativeProblem(itemAt(of.cells, i));
    if (value > 1 + quietDrop + ulp) {
      const at = placeOf(itemAt(of.cells, i));
      return problem(
        "refused",
        `The undersize reaches ${figuresText(100 * value)} %, more than the whole. Say whether the values are per cent or fractions, class by class or cumulative.`,
        {
          ...at,
          found: `${figuresText(100 * value)} %`,
          expected: "at most 100 %",
        },
      );
    }
    const drop = reached - value;
    if (drop > quietDrop + ulp) {
      const at = placeOf(itemAt(of.cells, i));
      return problem(
        "refused",
        `The undersize falls by ${figuresText(100 * drop)} points at row ${at.row}; a cumulative curve never falls. Correct the value, or say that these are oversize values or shares class by class.`,
        {
          ...at,
          found: `${figuresText(100 * value)} % after ${figuresText(100 * reached)} %`,
          expected: `at least ${figuresText(100 * reached)} %`,
        },
      );
    }
    if (drop > 0 && i > 0) {
      const at = placeOf(itemAt(of.cells, i));
      remarks.push(
        problem(
          "note",
          `The undersize falls by ${figuresText(100 * drop)} points at row ${at.row} (rounding) and was levelled.`,
          {
            ...at,
            found: `${figuresText(100 * value)} %`,
            expected: `${figuresText(100 * reached)} %`,
            effect: `${figuresText(100 * drop)} points`,
          },
        ),
      );
    }
    reached = Math.min(1, Math.max(reached, value));
    levelled.push(reached);
  }
  const belowShare = itemAt(levelled, 0);
  if (belowShare === levelled.at(-1)) {
    const { cells } = of;
    return problem(
      "refused",
      `The undersize stays at ${figuresText(100 * belowShare)} % from the first size to the last: nothing lies between the sizes. Look for the column or the unit of the sizes.`,
      {
        column: sameColumn(cells),
        row: sameRow(cells),
        found: `${figuresText(100 * belowShare)} % throughout`,
        expected: "values that rise",
      },
    );
  }
  return {
    shares: neighbours(levelled).map(([before, q]) => q - before),
    belowShare,
    aboveShare: 1 - itemAt(levelled, -1),
    remarks,
  };
}

function placeOf({ row, column }: Cell): Pick<Cell, "row" | "column"> {
  return { row, column };
}

function negativeProblem(cell: Cell): Problem {
  return problem(
    "refused",
    `Row ${cell.row}, column ${cell.column}: a share cannot be negative. Check whether a baseline was subtracted, and import the values from before the subtraction.`,
    {
      row: cell.row,
      column: cell.column,
      found: cell.text,
      expected: "zero or more",
    },
  );
}

/** The one column that all cells stand in, or row; null where they stand in several. */
function oneOf(places: readonly number[]): number | null {
  const [one, ...more] = new Set(places);
  return one === undefined || more.length > 0 ? null : one;
}

/** The column of cells that all stand in one; null where they do not. */
export function sameColumn(cells: readonly Cell[]): number | null {
  return oneOf(cells.map((cell) => cell.column));
}

/** The row likewise. */
export function sameRow(cells: readonly Cell[]): number | null {
  return oneOf(cells.map((cell) => cell.row));
}
