import { itemAt, neighbours } from "#distributions/lists.ts";
import { problem } from "#distributions/problem.ts";
import { umIn } from "#distributions/tables/text/sizeText.ts";
import { unitIn } from "#distributions/tables/text/units.ts";
import { saysShares, saysSize } from "#distributions/tables/text/words.ts";
import { type Block, type Cell, columnAt, type Grid, isMonotone, type Series, textOf } from "./block.ts";
import type { Chunk } from "./chunks.ts";
import { blockOf } from "./columnsShape.ts";
import { headingsOf } from "./headings.ts";
import { quantityWordsIn } from "./quantityColumns.ts";
import { areEdges, sizeColumns } from "./sizeColumns.ts";

/** One size and value a row, with columns that name the sample: a block for each sample. */
export function longBlocks(grid: Grid, chunks: readonly Chunk[], isAsked: boolean): Block[] {
  for (const chunk of chunks.toSorted((a, b) => b.rows.length - a.rows.length).slice(0, 1)) {
    const { heading, notes } = headingsOf(chunk, grid, []);
    const found = columnsOf(chunk, heading, grid, isAsked);
    if (found !== null) return blocksOf(chunk, { heading, notes, at: found }, grid);
  }
  return [];
}

/** What a long table says of itself. */
interface LongTable {
  readonly heading: readonly string[];
  readonly notes: readonly string[];
  readonly at: LongColumns;
}

interface LongColumns {
  readonly size: number;
  readonly labels: readonly number[];
  readonly values: readonly number[];
  /** Further columns of sizes with a unit behind each, which no share has: the other edge. */
  readonly edges: readonly number[];
}

const minSizes = 3;

/** Finds the size column: inside each sample the sizes run in order, over the whole table they do not. */
function columnsOf(
  chunk: Chunk,
  heading: readonly string[],
  grid: Grid,
  isAsked: boolean,
): LongColumns | null {
  const width = chunk.rows.reduce((most, { values }) => Math.min(12, Math.max(most, values.length)), 0);
  if (width < 3) return null;
  const columns = Array.from({ length: width }, (_, c) => chunk.rows.map(({ values }) => values[c] ?? ""));
  const all = [...columns.keys()];
  const groups = columns.map(groupsOf);
  if (!columns.some((cells, c) => mayLabel(cells, groups[c] ?? null))) return null;
  const spoken = new Set(all.filter((c) => saysSize(heading[c] ?? "") || unitIn(heading[c] ?? "") !== null));
  const sizes = columns
    .flatMap((cells, size) => {
      const numbers = sizesOf(cells, grid);
      return numbers === null ? [] : [{ size, numbers }];
    })
    .sort((a, b) => Number(spoken.has(b.size)) - Number(spoken.has(a.size)));
  for (const { size, numbers } of sizes) {
    if (saysShares(heading[size] ?? "") && !spoken.has(size)) continue;
    if (isMonotone(numbers) && !isAsked) continue;
    const others = all.filter((c) => c !== size);
    for (const labels of labelSets(others, columns, groups, numbers)) {
      const values = others.filter((c) => {
        const cells = columns[c] ?? [];
        return (
          !labels.includes(c) && isValueColumn(cells, grid) && !isIdentity(cells, heading[c] ?? "", grid)
        );
      });
      if (values.length === 0) continue;
      const isFurther = (c: number) => !labels.includes(c) && !isValueColumn(columns[c] ?? [], grid);
      const edges = sizes.map((other) => other.size).filter((c) => c !== size && isFurther(c));
      return { size, labels, values, edges };
    }
  }
  return null;
}

/** A size, or the first of two; the open class below "1" lies before the class from 1 on. */
function sizeOf(text: string, { parsed }: Grid): number | null {
  const from = parsed.range(text)?.from ?? text;
  const size = parsed.size(from);
  if (size === null) return null;
  return size.value * umIn(size.unit) * (size.open === "below" ? 1 - 1e-9 : 1);
}

/** The sizes of a column; null where a cell of it holds none. */
function sizesOf(cells: readonly string[], grid: Grid): number[] | null {
  const sizes: number[] = [];
  for (const text of cells) {
    const size = sizeOf(text, grid);
    if (size === null) return null;
    sizes.push(size);
  }
  return sizes;
}

/** Rows that have the same text; null where there are too many texts for labels. */
function groupsOf(cells: readonly string[]): readonly (readonly number[])[] | null {
  const groups = new Map<string, number[]>();
  for (const [i, text] of cells.entries()) {
    const group = groups.get(text);
    if (group !== undefined) group.push(i);
    else if ((groups.size + 1) * minSizes > cells.length) return null;
    else groups.set(text, [i]);
  }
  return [...groups.values()];
}

/** Whether a column can part rows into samples: its texts come back, or stand at least twice on end. */
function mayLabel(cells: readonly string[], groups: readonly (readonly number[])[] | null): boolean {
  if (groups?.every((rows) => rows.length > 1) === true) return true;
  const changes = cells.filter((text, i) => i > 0 && text !== cells[i - 1]).length;
  return 2 * changes <= cells.length;
}

/** Label columns that part the rows into samples in each of which the sizes run in order or repeat. */
function labelSets(
  candidates: readonly number[],
  columns: readonly (readonly string[])[],
  groups: readonly (readonly (readonly number[])[] | null)[],
  sizes: readonly number[],
): number[][] {
  const starts = new Set([0]);
  for (let i = 2; i < sizes.length; i++) {
    const step = itemAt(sizes, i) - itemAt(sizes, i - 1);
    const before = itemAt(sizes, i - 1) - itemAt(sizes, i - 2);
    if (!starts.has(i - 1) && step * before < 0) starts.add(i);
  }
  const steady = candidates.filter((c) => {
    const cells = columns[c] ?? [];
    return (
      cells[0] !== "" &&
      cells.every((text, i) => i === 0 || text === cells[i - 1] || starts.has(i)) &&
      cells.some((text) => text !== cells[0])
    );
  });
  const sets: number[][] = steady.length > 0 ? [steady] : [];
  for (const c of candidates) {
    const parts = groups[c] ?? null;
    if (parts === null || parts.some((rows) => rows.length < 2)) continue;
    const inOrder = parts.filter((rows) => isMonotone(rows.map((i) => itemAt(sizes, i)))).length;
    if (inOrder >= parts.length / 2) sets.push([c]);
  }
  return sets;
}

function isValueColumn(cells: readonly string[], { parsed }: Grid): boolean {
  const numbers = cells.filter((text) => parsed.share(text) !== null).length;
  return numbers >= cells.length / 2 && cells.some((text) => text !== cells[0]);
}

/** A running number that names the row. */
function isIdentity(cells: readonly string[], heading: string, { parsed }: Grid): boolean {
  const numbers = cells.flatMap((text) => parsed.number(text) ?? []);
  return (
    /(^|[^a-z])(id|no|nr|row|index|#)([^a-z]|$)/i.test(heading.replaceAll("_", " ")) ||
    (numbers.length === cells.length &&
      isMonotone(numbers) &&
      neighbours(numbers).every(([before, v]) => v === before + 1))
  );
}

function blocksOf(chunk: Chunk, table: LongTable, grid: Grid): Block[] {
  const groups = new Map<string, Chunk["rows"]>();
  for (const line of chunk.rows) {
    const key = table.at.labels
      .map((c) => line.values[c] ?? "")
      .join(" ")
      .trim();
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [line]);
    else group.push(line);
  }
  return [...groups].map(([name, rows]) => sampleBlock(name, rows, table, grid));
}

/** The table of one sample. */
function sampleBlock(
  name: string,
  rows: Chunk["rows"],
  { heading, notes, at }: LongTable,
  grid: Grid,
): Block {
  const cells = (c: number): Cell[] =>
    rows.map(({ values, row }) => ({ text: values[c] ?? "", row, column: c + 1 }));
  const columns = [at.size, ...at.values, ...at.edges]
    .toSorted((a, b) => a - b)
    .map((c) => ({
      heading: heading[c] ?? "",
      index: c,
      cells: cells(c),
    }));
  const places = columns.map((column, i) => ({ ...column, index: i }));
  const found = sizeColumns(places, grid);
  const own = columns.findIndex((column) => column.index === at.size);
  // A size with a unit behind it is the other edge before any column of bare numbers is.
  const other = columns.findIndex((column) => at.edges.includes(column.index));
  const [size, second] = [places[own], places[other]];
  const isPair = size !== undefined && second !== undefined && areEdges(size, second, grid);
  const lone = found.to === null ? { from: own, to: null } : found;
  const pair = isPair ? { from: Math.min(own, other), to: Math.max(own, other) } : lone;
  const block = blockOf(places, pair, notes, grid);
  const sample = named(name, heading, at);
  const counted = quantityWordsIn(besides(rows, at));
  return {
    ...block,
    layout: "long",
    series: block.series.map((one): Series => {
      const index = itemAt(columns, columnAt(one) - 1).index;
      const head = heading[index] ?? "";
      return {
        heading: block.series.length > 1 ? `${sample} ${head}`.trim() : sample,
        // What parts the samples may speak of the values too, as a column of quantities does.
        says: [name, ...counted, head].filter((text) => text !== "").join(" "),
        at: { row: rows[0]?.row ?? null, column: index + 1 },
        cells: one.cells,
      };
    }),
    remarks: [...block.remarks, ...twice(name, cells(at.size), grid)],
  };
}

/** What stands in the rows of a sample beside its label, sizes and values. */
function besides([first, ...rest]: Chunk["rows"], { size, labels, values }: LongColumns): string[][] {
  const all = [...(first?.values ?? []).keys()];
  return all
    .filter((c) => c !== size && !labels.includes(c) && !values.includes(c))
    .map((c) => [first?.values[c] ?? "", ...rest.map((row) => row.values[c] ?? "")]);
}

/** A sample that goes by a number takes the word above it: "soil 9". */
function named(name: string, heading: readonly string[], at: LongColumns): string {
  return /^\d+$/.test(name)
    ? `${(heading[itemAt(at.labels, 0)] ?? "").replace(/[_ ]?id$/i, "")} ${name}`.trim()
    : name;
}

function twice(name: string, sizes: readonly Cell[], grid: Grid) {
  const seen = new Map<number, Cell>();
  for (const cell of sizes) {
    const size = sizeOf(cell.text, grid);
    if (size === null) continue;
    const before = seen.get(size);
    if (before !== undefined) {
      return [
        problem(
          "refused",
          `Sample ${name} has two values at ${textOf([cell.text])} (rows ${before.row} and ${cell.row}). Give the two runs names of their own, or take one out.`,
          {
            measurement: name,
            row: cell.row,
            column: cell.column,
            found: `${cell.text} twice`,
            expected: "each size once in a sample",
          },
        ),
      ];
    }
    seen.set(size, cell);
  }
  return [];
}
