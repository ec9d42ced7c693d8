import { itemAt, neighbours } from "#distributions/lists.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import { sizeUnitInNotes } from "#distributions/tables/text/noteUnits.ts";
import type { UnitOption } from "#distributions/tables/text/readingOptions.ts";
import { unitIn } from "#distributions/tables/text/units.ts";
import { namesSizes, saysShares } from "#distributions/tables/text/words.ts";
import { filledIn, type Grid } from "./block.ts";
import { addsToWhole, courseOf, reachesWhole } from "./wholes.ts";

/** The unit that follows when sizes go on a thousand times smaller in number. */
const nextUnit: Readonly<Partial<Record<UnitOption, UnitOption>>> = { nm: "um", um: "mm", mm: "m" };
const offered = ["nm", "um"] as const;

/** Fewer sizes show no steps of their own. */
const fewest = 5;
/** More lists than this are shares; sizes stand in few. */
const maxLists = 60;
const thousand = 1000;
/** Neighbours nearer than this are no change of unit. */
const leastBreak = 20;
const maxBelow = 4;
/** A page break with its headings lies between so many cells at most. */
const maxBetween = 4;
/** Names, words and units above a column stand in so many rows at most. */
const maxHeadings = 3;
/** Sizes stand in one of the first columns, or there too; a step elsewhere alone is one of shares, which fall as they like. */
const sizesWithin = 4;
/** A list of sizes is so much of its column's numbers at least. */
const leastOfColumn = 0.4;
/** Shorter rows hold no list of sizes. */
const maxAcross = 6;
/** A single size behind a step may be anything. */
const minOfUnit = 2;
/** A step to the next unit is as long as the others beside it, within this factor of their logarithm. */
const likeOthers = 2.5;

/** A cell whose number is a size without a unit, in a list that changes its unit on the way. */
interface SteppedCell {
  readonly row: number;
  readonly column: number;
  /** Whether it stands behind the step, in the larger unit. */
  readonly isLarger: boolean;
}

/**
 * Sizes that go on a thousand times smaller in number, as 400, 630, 1, 1.6 do where nm become µm: a change of unit that no
 * word names. With the unit of the finer ones each is given its own; without it, the question for it.
 */
export function withUnitSteps(
  grid: Grid,
  unit: UnitOption | undefined,
): { readonly grid: Grid; readonly question: Problem | null } {
  const stepped = steppedCells(grid);
  const [first] = stepped.filter(({ isLarger }) => isLarger);
  if (first === undefined) return { grid, question: null };
  if (unit === undefined) return { grid, question: stepQuestion(first, stepped, grid) };
  const larger = nextUnit[unit];
  if (larger === undefined) return { grid, question: null };
  const cells = grid.cells.map((row) => [...row]);
  for (const { row, column, isLarger } of stepped) {
    const text = cells[row]?.[column] ?? "";
    const line = cells[row];
    if (line !== undefined) line[column] = withUnit(text, isLarger ? larger : unit, larger, grid);
  }
  return { grid: { ...grid, cells }, question: null };
}

function withUnit(text: string, unit: UnitOption, larger: UnitOption, { parsed }: Grid): string {
  const range = parsed.range(text);
  if (range === null) return `${text} ${unit}`;
  // The coarser edge may lie behind the step already.
  const isOver = parsed.um(range.to) < parsed.um(range.from);
  return `${range.from} ${unit} – ${range.to} ${isOver ? larger : unit}`;
}

function steppedCells(grid: Grid): SteppedCell[] {
  const width = grid.cells.reduce((most, row) => Math.min(maxLists, Math.max(most, row.length)), 0);
  const down = (columns: number) =>
    Array.from({ length: Math.min(columns, width) }, (_, column) =>
      grid.cells.map((_, row) => ({ row, column })),
    );
  let isStated: boolean | undefined;
  const mayStep = () => {
    isStated ??= statesUnit(grid);
    return !isStated;
  };
  const inColumns = (least: number) =>
    down(width).flatMap((places) => steppedIn(places, grid, { mayStep, least }));
  const isDown = width <= grid.cells.length && !grid.cells.some((line) => isAcross(line, grid));
  if (isDown) {
    const isOfSizes = (places: readonly Place[]) => {
      const bare = places.filter((place) => isBareSize(grid, place)).length;
      const stepped = steppedIn(places, grid, { mayStep, least: minOfUnit }).length;
      return stepped > 0 && stepped >= leastOfColumn * bare;
    };
    // Beside one list that changes its unit another edge may do so at its last size.
    return mayHoldSizes(down(sizesWithin), grid).some(isOfSizes) ? inColumns(1) : [];
  }
  // Across, sizes stand in the first row of numbers; those below it are shares, which rise and fall as they like.
  const row = grid.cells.findIndex((line) => filledIn(line) > maxAcross);
  const across = (grid.cells[row] ?? []).map((_, column) => ({ row, column }));
  return steppedIn(across, grid, { mayStep, least: minOfUnit });
}

/** A word for sizes, and behind it nothing but sizes in order. */
function isAcross([label = "", ...rest]: readonly string[], grid: Grid): boolean {
  // Most rows begin with a number, which is no word.
  if (grid.parsed.number(label) !== null) return false;
  const filled = rest.filter((text) => text !== "");
  if (filled.length < fewest || saysShares(label) || !namesSizes(label)) return false;
  const sizes = filled.flatMap((text) => bareSize(text, grid) ?? []);
  return sizes.length === filled.length;
}

/** Of columns those that a heading says to hold sizes, or that have none; where none is said to, those that no heading says to hold shares. */
function mayHoldSizes(columns: readonly (readonly Place[])[], grid: Grid): readonly (readonly Place[])[] {
  const headed = columns.map((places) => ({ places, heading: headingOver(places, grid) }));
  const isNamed = (heading: string) =>
    !saysShares(heading) && (namesSizes(heading) || unitIn(heading) !== null);
  const named = headed.filter(({ heading }) => isNamed(heading) || heading === "");
  const open = headed.some(({ heading }) => isNamed(heading))
    ? named
    : headed.filter(({ heading }) => !saysShares(heading));
  return open.map(({ places }) => places);
}

/** The words above the first size of a column. */
function headingOver(places: readonly Place[], grid: Grid): string {
  const first = places.findIndex((place) => isBareSize(grid, place));
  const above = places
    .slice(0, Math.max(0, first))
    .filter(({ row }) => filledIn(grid.cells[row] ?? []) > 0)
    .slice(-maxHeadings)
    .toReversed();
  // A line with a single cell, but for the one right above, is a remark.
  const remark = above.findIndex(({ row }, i) => i > 0 && filledIn(grid.cells[row] ?? []) < 2);
  const headings = remark < 0 ? above : above.slice(0, remark);
  return headings.map(({ row, column }) => grid.cells[row]?.[column] ?? "").find((text) => text !== "") ?? "";
}

const isBareSize = (grid: Grid, { row, column }: Place) =>
  bareSize(grid.cells[row]?.[column] ?? "", grid) !== null;

/** Whether a heading or a note names the unit of sizes. */
function statesUnit({ cells }: Grid): boolean {
  return cells.some((row) => {
    const words = row.filter((text) => text !== "" && !/\d/.test(text));
    return words.some((text) => unitIn(text) !== null) || sizeUnitInNotes(row.join("\t")) !== null;
  });
}

interface Place {
  readonly row: number;
  readonly column: number;
}

interface SizedPlace extends Place {
  readonly value: number;
}

/** The longest stretches of bare numbers along a column or row, each looked at for a step. */
function steppedIn(
  places: readonly Place[],
  grid: Grid,
  { mayStep, least }: { readonly mayStep: () => boolean; readonly least: number },
): SteppedCell[] {
  const found: SteppedCell[] = [];
  let open: SizedPlace[] = [];
  let gap = 0;
  const close = () => {
    found.push(...stepsOf(open, least));
    open = [];
  };
  for (const place of places) {
    const value = bareSize(grid.cells[place.row]?.[place.column] ?? "", grid);
    if (value === null) {
      gap++;
      continue;
    }
    if (gap > 0 && (gap > maxBetween || isNextTable(open, place, grid) || !goesOn(open, value, mayStep)))
      close();
    open.push({ ...place, value });
    gap = 0;
  }
  close();
  return found;
}

/** Whether what stands above a gap is a table of its own: other words head what follows, or a list beside it is a whole already. */
function isNextTable(open: readonly SizedPlace[], { row }: Place, { cells, parsed }: Grid): boolean {
  const [first, last] = [open[0], open.at(-1)];
  if (first === undefined || last === undefined || last.row === row) return false;
  const letters = (line: readonly string[]) => line.join("\t").toLowerCase().trim();
  const above = new Set(cells.slice(Math.max(0, first.row - maxBetween), first.row).map(letters));
  const between = cells.slice(last.row + 1, row).map(letters);
  if (between.some((line) => line !== "" && !/^page\b/.test(line) && !above.has(line))) return true;
  const beside = (cells[first.row] ?? []).slice(0, maxLists);
  return beside.some((_, c) => {
    if (c === first.column) return false;
    const values = open.map((place) => parsed.um(cells[place.row]?.[c] ?? ""));
    return addsToWhole(values) || (courseOf(values) !== null && reachesWhole(values));
  });
}

const isLike = (ratio: number) => ratio > 1 / likeOthers && ratio < likeOthers;

/**
 * Whether a size behind a page break lies one step further, as the ones before it step.
 * @param mayStep  whether the unit may change there: where one is stated, sizes a thousand times smaller are another table's
 */
function goesOn(open: readonly SizedPlace[], value: number, mayStep: () => boolean): boolean {
  const [before, last] = open.slice(-2);
  if (before === undefined || last === undefined) return false;
  const ratio = Math.log(value / last.value) / Math.log(last.value / before.value);
  return (
    isLike(ratio) ||
    (mayStep() && isLike(Math.log((thousand * value) / last.value) / Math.log(last.value / before.value)))
  );
}

/** A size above zero without a unit of its own, the first of two; null where there is none. */
function bareSize(text: string, { parsed }: Grid): number | null {
  const number = parsed.number(text);
  if (number !== null) return number > 0 ? number : null;
  const size = parsed.size(parsed.range(text)?.from ?? text);
  return size === null || size.unit !== null || !(size.value > 0) ? null : size.value;
}

function stepsOf(list: readonly SizedPlace[], least: number): SteppedCell[] {
  if (list.length < fewest || !hasBreak(list)) return [];
  // An open class shares its size with the one beside it.
  const steps = neighbours(list.map(({ value }) => Math.log(value)))
    .map(([a, b]) => b - a)
    .filter((step) => step !== 0);
  const isRising = steps.filter((step) => step > 0).length > steps.length / 2;
  const rising = isRising ? list : list.toReversed();
  const lengths = steps.map(Math.abs).toSorted((a, b) => a - b);
  const usual = itemAt(lengths, Math.floor(lengths.length / 2));
  const start = itemAt(rising, 0).value;
  let isLarger = false;
  const cells: SteppedCell[] = [];
  for (const [i, { value, row, column }] of rising.entries()) {
    const before = i === 0 ? Number.NEGATIVE_INFINITY : itemAt(rising, i - 1).value;
    // The sizes of the next sample start where those of the first did.
    if (value === start) isLarger = false;
    else if (value < before) {
      // A figure of the whole may stand directly below the sizes.
      if (isLarger && isRising && i + maxBelow >= rising.length) break;
      if (isLarger || !isLikeOthers(value, before, usual)) return [];
      isLarger = true;
    }
    cells.push({ row, column, isLarger });
  }
  const larger = cells.filter((cell) => cell.isLarger).length;
  // Sizes step alike; shares and sums, which may fall by a thousand as well, do not.
  const others = lengths.filter((length) => length < usual / likeOthers || length > usual * likeOthers);
  const breaks = neighbours(cells).filter(([a, b]) => a.isLarger !== b.isLarger).length;
  if (others.length > breaks + 1) return [];
  return larger >= least && cells.length - larger >= least ? cells : [];
}

/** Whether a number is about a thousand times the one beside it. */
function hasBreak(list: readonly SizedPlace[]): boolean {
  return neighbours(list).some(([a, b]) => {
    const ratio = a.value / b.value;
    return Math.max(ratio, 1 / ratio) > leastBreak;
  });
}

function isLikeOthers(value: number, before: number, usual: number): boolean {
  const onward = Math.log((thousand * value) / before);
  return onward > usual / likeOthers && onward < usual * likeOthers;
}

function stepQuestion(first: SteppedCell, stepped: readonly SteppedCell[], grid: Grid): Problem {
  const text = grid.cells[first.row]?.[first.column] ?? "";
  const beside = stepped.find(
    (cell) => !cell.isLarger && Math.abs(cell.row - first.row) + Math.abs(cell.column - first.column) === 1,
  );
  const other = beside === undefined ? "" : (grid.cells[beside.row]?.[beside.column] ?? "");
  const effect = offered
    .map((unit) => `${unit}: "${other}" is in ${unit}, "${text}" in ${nextUnit[unit]}`)
    .join("; ");
  return {
    ...problem(
      "question",
      `The sizes go on a thousand times smaller in number at row ${first.row + 1}, column ${first.column + 1}: "${text}" beside "${other}". That is a change of unit which no word names. Say the unit of the finer sizes; the others are taken in the next larger one.`,
      {
        row: first.row + 1,
        column: first.column + 1,
        found: text,
        expected: "sizes in one unit, or each with its own",
        effect,
      },
    ),
    choices: offered.map((value) => ({ option: "unit", value, d50Um: null })),
  };
}
