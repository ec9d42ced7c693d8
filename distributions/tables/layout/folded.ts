import { itemAt, maxOf, minOf, neighbours } from "#distributions/lists.ts";
import { problem } from "#distributions/problem.ts";
import { addsToWhole, courseOf, reachesWhole } from "#distributions/tables/layout/wholes.ts";
import { saysNothing } from "#distributions/tables/text/numbers.ts";
import type { Block, Cell, Grid, Series } from "./block.ts";

/** Parts side by side of fewer rows are none. */
const minRows = 4;

/**
 * Tables side by side, or in rows below each other, whose sizes go on where the one before ended, and whose values make one whole only together, are one
 * curve in parts, as where a long table is folded to fit a page.
 */
export function foldedTogether(blocks: readonly Block[], grid: Grid): readonly Block[] {
  const [first, ...rest] = blocks;
  if (first === undefined || rest.length === 0) return blocks;
  // A few numbers beside each other go on in order by chance: measurements in rows below sizes across do.
  const isLong = first.layout === "rows" || areBelow(blocks) || itemAt(first.sizes, 0).length >= minRows;
  const isFolded =
    isLong && rest.every((block, i) => goesOn(blocks[i] ?? first, block, grid)) && isOneCurve(blocks, grid);
  return isFolded ? [joined(blocks)] : blocks;
}

function goesOn(before: Block, next: Block, grid: Grid): boolean {
  if (before.series.length !== next.series.length || before.sizes.length !== next.sizes.length) return false;
  const isSame = before.series.every(
    (s, i) => s.heading.toLowerCase() === next.series[i]?.heading.toLowerCase(),
  );
  const [a, b] = [sizesOf(before, grid), sizesOf(next, grid)];
  if (!isSame || a.length === 0 || b.length === 0) return false;
  const steps = neighbours([...a.slice(-2), ...b.slice(0, 2)])
    .map(([one, next]) => next / one)
    .filter(Number.isFinite);
  return steps.every((step) => step > 1) || steps.every((step) => step < 1);
}

function sizesOf({ sizes }: Block, { parsed }: Grid): number[] {
  return itemAt(sizes, 0).map((cell) => parsed.um(cell.text));
}

/** As what values make a whole curve: as shares that add to one, or cumulative from nothing to one; null where they make none. */
function wholeCurve(values: readonly number[]): string | null {
  if (addsToWhole(values)) return "class";
  const isRun = reachesWhole(values) && minOf(values) <= 0.2 * maxOf(values);
  return isRun ? courseOf(values) : null;
}

/** Not every part is a whole curve by itself, of the same kind: what rises in one part and falls in the next is one peak. */
function isOneCurve(blocks: readonly Block[], { parsed }: Grid): boolean {
  const valuesOf = (s: Series | undefined) =>
    (s?.cells ?? []).map(({ text }) => parsed.share(text) ?? (saysNothing(text) ? 0 : Number.NaN));
  return !(blocks[0]?.series ?? []).some((_, i) => {
    const wholes = new Set(blocks.map((block) => wholeCurve(valuesOf(block.series[i]))));
    return wholes.size === 1 && !wholes.has(null);
  });
}

/** Parts below each other begin in rows of their own. */
function areBelow([first, next]: readonly Block[]): boolean {
  const rowOf = (block: Block | undefined) => block?.sizes[0]?.[0]?.row;
  return first?.layout === "rows" || rowOf(first) !== rowOf(next);
}

function joined(blocks: readonly Block[]): Block {
  const [first] = blocks;
  if (first === undefined) throw new RangeError("no part to join");
  const cells = (pick: (block: Block) => readonly Cell[] | undefined) =>
    blocks.flatMap((block) => pick(block) ?? []);
  return {
    ...first,
    sizes: first.sizes.map((_, i) => cells((block) => block.sizes[i])),
    series: first.series.map(({ numbers: _, ...one }, i) => ({
      ...one,
      cells: cells((block) => block.series[i]?.cells),
    })),
    notes: [...new Set(blocks.flatMap(({ notes }) => notes))],
    remarks: [
      ...first.remarks,
      problem(
        "note",
        `${blocks.length} parts ${areBelow(blocks) ? "below each other" : "side by side"} were read as one curve: the sizes of each go on where the one before ends.`,
      ),
    ],
  };
}
