import { zip } from "#distributions/lists.ts";
import { type SizeEvidence, sizeColumnEvidence } from "#distributions/tables/layout/sizeColumnEvidence.ts";
import { edgeOf as edgeIn } from "#distributions/tables/text/claims.ts";
import { unitIn } from "#distributions/tables/text/units.ts";
import { saysMid, saysShares, saysSize } from "#distributions/tables/text/words.ts";
import { type Column, type Grid, isMonotone } from "./block.ts";

/** Without the blank cells below the shorter of two tables. */
export function filled(column: Column): Column {
  if (column.numbers !== undefined) return column;
  return { ...column, cells: column.cells.filter((cell) => cell.text !== "") };
}

export function same(a: string, b: string): boolean {
  return a.toLowerCase() === b.toLowerCase();
}

/** Where the sizes stand, and where their second edges, if they have a column of their own. */
export interface SizeColumns {
  readonly from: number;
  readonly to: number | null;
  /** Another column that is nearly as much like sizes, and what speaks for each; absent where one stands far ahead. */
  readonly rival?: SizeRival;
}

/** Two columns that could both be the sizes. */
export interface SizeRival {
  readonly column: number;
  readonly forChosen: string;
  readonly forRival: string;
}

/** Weights nearer than this do not tell two columns apart. */
const nearWeights = 1;

/** How many columns at either side are looked at; sizes stand there, or under a heading that speaks of them. */
const looked = 8;

/** Which column (or two) holds the sizes: the one that most speaks for among those that run in order. */
export function sizeColumns(columns: readonly Column[], grid: Grid): SizeColumns {
  const near = columns.filter(
    (c, i) => i < looked || i >= columns.length - looked || (columns.length < 400 && saysSize(c.heading)),
  );
  const runs = near.filter((c) => isRun(c, grid));
  const rated = runs.map((column) => {
    const evidence = sizeColumnEvidence(column, grid.parsed, column === runs[0]);
    return { column, evidence, weight: evidence.reduce((sum, e) => sum + e.weight, 0) };
  });
  const best = rated.reduce<(typeof rated)[number] | null>(
    (a, b) => (a === null || b.weight > a.weight ? b : a),
    null,
  );
  const a = misnumbered(best?.column, near, grid) ?? best?.column ?? mostNumeric(near, grid) ?? near[0];
  if (a === undefined) return { from: 0, to: null };
  const others = columns.length < 400 ? runs : runs.filter((c) => Math.abs(c.index - a.index) <= looked);
  // The open end of the outermost class may have no edge.
  const isOtherEdge = (b: Column) =>
    !same(a.heading, b.heading) && (edgeIn(a.heading) === null || edgeIn(a.heading) !== edgeIn(b.heading));
  const mayBe = [
    ...others,
    ...near.filter((b) => !others.includes(b) && hasOpenEnd(b) && isOtherEdge(b) && isRun(filled(b), grid)),
  ];
  const partner = mayBe
    .filter((b) => b !== a && !saysMid(b.heading) && columns.length > 2 && areEdges(a, b, grid))
    .toSorted((x, y) => Math.abs(x.index - a.index) - Math.abs(y.index - a.index))[0];
  const rival = rated.find((r) => r !== best && best !== null && best.weight - r.weight < nearWeights);
  if (partner === undefined)
    return {
      from: a.index,
      to: null,
      ...(rival === undefined || best === null
        ? {}
        : {
            rival: {
              column: rival.column.index,
              forChosen: wordsFor(best.evidence),
              forRival: wordsFor(rival.evidence),
            },
          }),
    };
  return { from: Math.min(a.index, partner.index), to: Math.max(a.index, partner.index) };
}

/** Beside a column that only numbers the rows: the one headed as sizes in a unit, though they run in no order. */
function misnumbered(
  best: Column | undefined,
  near: readonly Column[],
  { parsed }: Grid,
): Column | undefined {
  const isCount =
    best !== undefined &&
    best.cells.length >= minCounted &&
    !saysSize(best.heading) &&
    best.cells.every(({ text }, i) => text === String(i + 1));
  if (!isCount) return undefined;
  return near.find(
    ({ heading, cells }) =>
      unitIn(heading) !== null &&
      saysSize(heading) &&
      !saysShares(heading) &&
      cells.every(({ text }) => parsed.size(text) !== null),
  );
}
const minCounted = 4;

/** What speaks for a column being the sizes, in words. */
function wordsFor(evidence: readonly SizeEvidence[]): string {
  const words = evidence.filter((e) => e.weight > 0).map((e) => e.words);
  return words.length === 0 ? "nothing but that it runs in order" : words.join(", ");
}

function hasOpenEnd({ cells }: Column): boolean {
  const blank = cells.filter(({ text }) => text === "").length;
  return blank === 1 && (cells[0]?.text === "" || cells.at(-1)?.text === "");
}

/** Where none runs in order: the first under a heading of sizes, else the first that mostly holds sizes, so that what is wrong with it is said. */
function mostNumeric(near: readonly Column[], { parsed }: Grid): Column | undefined {
  const isMostly = (c: Column) =>
    c.cells.filter((cell) => parsed.size(cell.text) !== null).length > c.cells.length / 2;
  return (
    near.find((c) => isMostly(c) && saysSize(c.heading) && !saysShares(c.heading)) ?? near.find(isMostly)
  );
}

/** Numbers that only rise or only fall, above zero: could be sizes. */
export function isRun(column: Column, { parsed }: Grid): boolean {
  if (column.numbers !== undefined) return isMonotone(column.numbers.values);
  const { cells, heading } = column;
  const ownScale = scaleOf(null, heading);
  const isOpenFirst = parsed.size(cells[0]?.text ?? "")?.open != null;
  let count = 0;
  let last = 0;
  let way = 0;
  for (const { text } of cells) {
    const size = parsed.size(parsed.range(text)?.from ?? text);
    if (size === null || size.value < -12) return false;
    const value = size.value * (size.unit === null ? ownScale : scaleOf(size.unit, heading));
    if (count > 0) {
      // "<1" before 1, ">8" after 8: the open class shares its size with the one beside it.
      if (value === last && (size.open !== null || (count === 1 && isOpenFirst))) continue;
      // Most columns run neither up nor down, which is seen in their first rows.
      const step = Math.sign(value - last);
      if (step === 0 || step === -way) return false;
      way = step;
    }
    last = value;
    count++;
  }
  return count === 1 ? cells.length <= 2 : count > 1;
}

const nmPer: Readonly<Record<string, number>> = { nm: 1, um: 1e3, mm: 1e6, m: 1e9 };

/** What brings sizes in units of their own to one. */
function scaleOf(unit: string | null, heading: string): number {
  // A mesh number compares with those beside it that stand bare.
  const own = unit === "mesh" ? null : unit;
  return nmPer[own ?? unitIn(heading) ?? "um"] ?? 1;
}

/** Lower and upper edges: each row starts where the one before ends, or the headings say so and no number speaks against it. */
export function areEdges(a: Column, b: Column, { parsed }: Grid): boolean {
  const sizesOf = ({ cells, heading }: Column) => {
    const ownScale = scaleOf(null, heading);
    return cells.map(({ text }) => {
      const size = parsed.size(text);
      if (size === null) return null;
      return size.value * (size.unit === null ? ownScale : scaleOf(size.unit, heading));
    });
  };
  const [from, to] = [sizesOf(a), sizesOf(b)];
  const last = to.length - 1;
  const differs = (pick: (step: number) => boolean) =>
    from.every((start, i) => {
      const end = to[i] ?? null;
      // The open end of the coarsest class may have no upper edge.
      if (end !== null && start !== null) return pick(end - start);
      // At the coarse end the upper edge may be missing, at the fine end the lower.
      const isCoarse = (i === last) === (from[0] ?? to[0] ?? 0) < (from[last] ?? to[last] ?? 0);
      return (i === 0 || i === last) && (pick(1) === isCoarse ? end === null : start === null);
    });
  const isOneWay = differs((step) => step > 0) || differs((step) => step < 0);
  if (!isOneWay) return false;
  const words = [edgeIn(a.heading), edgeIn(b.heading)];
  if (words.includes("lower") && words.includes("upper")) return true;
  if (saysShares(b.heading) && !saysSize(b.heading)) return false;
  if (from.length < 3) return false;
  const meets = (starts: typeof from, ends: typeof from) =>
    zip(ends.slice(0, -1), starts.slice(1)).filter(
      ([end, start]) => end !== null && start !== null && Math.abs(end - start) <= 0.01 * Math.abs(end),
    ).length;
  return Math.max(meets(from, to), meets(to, from)) >= 0.8 * last;
}
