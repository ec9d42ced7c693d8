import { itemAt, maxOf, minOf, zip } from "#distributions/lists.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import { unitIn } from "#distributions/tables/text/units.ts";
import { percentileIn, saysMid, saysShares } from "#distributions/tables/text/words.ts";
import type { Block, Column, Grid, Series } from "./block.ts";
import { type Chunk, chunksOf } from "./chunks.ts";
import { foldedTogether } from "./folded.ts";
import { headingsOf } from "./headings.ts";
import { quantityWordsIn } from "./quantityColumns.ts";
import { edgeLists, rangeLists } from "./rangeLists.ts";
import { sieveBlock } from "./sieveShape.ts";
import { filled, isRun, type SizeColumns, sizeColumns } from "./sizeColumns.ts";
import { startsOf } from "./tableStarts.ts";
import { withTitles } from "./titles.ts";
import { unreadSizes } from "./unreadSizes.ts";

/** Sizes in one column (or two), a measurement in each further one; a block for each table in the file. */
export function columnBlocks(grid: Grid, chunks: readonly Chunk[] = chunksOf(grid)): Block[] {
  let inherited: readonly string[] = [];
  const around: string[] = [];
  const blocks: Block[] = [];
  for (const chunk of chunks) {
    const { heading, notes } = headingsOf(chunk, grid, inherited);
    inherited = heading;
    blocks.push(...sideBySide(chunk, heading, notes, grid));
    around.push(...notes);
  }
  if (chunks.length < 2) return blocks;
  return withTitles(foldedTogether(blocks, grid)).map((block) => ({ ...block, around }));
}

/** One block, or more where the heading of the sizes stands again further right: tables side by side. */
function sideBySide(chunk: Chunk, heading: readonly string[], notes: readonly string[], grid: Grid): Block[] {
  let width = 0;
  for (const { values } of chunk.rows)
    width = Math.max(width, values.findLastIndex((text) => text !== "") + 1);
  width = Math.max(width, heading.findLastIndex((text) => text !== "") + 1);
  const columns = Array.from(
    { length: width },
    (_, c): Column => ({
      heading: heading[c] ?? "",
      index: c,
      cells: chunk.rows.map(({ values, row }) => ({ text: values[c] ?? "", row, column: c + 1 })),
    }),
  );
  return columnTables(columns, notes, grid);
}

/** The tables of columns that stand beside each other. */
export function columnTables(columns: readonly Column[], notes: readonly string[], grid: Grid): Block[] {
  const said = saidSizes(columns, grid);
  if (said !== null) return [blockOf(columns, said, notes, grid)];
  const sizes = sizeColumns(columns, grid);
  const starts = startsOf(columns, sizes, grid);
  if (starts.length < 2) return [blockOf(columns, sizes, notes, grid)];
  const blocks = starts.map(({ from, to }, k) => {
    const part = columns
      .slice(from, starts[k + 1]?.from ?? columns.length)
      .map((c) => ({ ...c, cells: c.cells.filter((_, i) => columns[from]?.cells[i]?.text !== "") }));
    return blockOf(part, { from, to }, notes, grid);
  });
  return [...foldedTogether(blocks, grid)];
}

/** The column of sizes, or the two of their edges, that a person names; null where none is named. */
function saidSizes(columns: readonly Column[], { roles }: Grid): SizeColumns | null {
  const said = columns.filter((c) => roles?.get(`c${c.index + 1}`) === "sizes");
  const [from, to] = said;
  return from === undefined ? null : { from: from.index, to: to?.index ?? null };
}

export function blockOf(
  columns: readonly Column[],
  at: SizeColumns,
  notes: readonly string[],
  grid: Grid,
): Block {
  const { parsed } = grid;
  const sizeColumn = columns.find((c) => c.index === at.from);
  const second = columns.find((c) => c.index === at.to);
  const cells = sizeColumn?.cells ?? [];
  const lists =
    rangeLists(cells, parsed) ??
    (second === undefined ? [cells] : edgeLists(sizeColumn?.cells ?? [], second.cells, parsed));
  const isAlone = columns.length === 1 || columns[0]?.index === at.from;
  const rest = columns.filter((c) => c.index !== at.from && c.index !== at.to && (isAlone || !isEmpty(c)));
  const isWords = (c: Column) =>
    c.numbers === undefined && c.cells.every(({ text }) => parsed.share(text) === null);
  const hasNumbers = rest.some((c) => !isWords(c));
  const counted = hasNumbers
    ? quantityWordsIn(rest.filter(isWords).map(({ cells: own }) => own.map(({ text }) => text)))
    : [];
  const isSaid = (c: Column) => grid.roles?.get(`c${c.index + 1}`) === "measurement";
  const others = rest.filter((c) => !isSaid(c) && isOtherSize(c, sizeColumn, second, grid));
  const valued = (hasNumbers ? rest.filter((c) => !isWords(c)) : rest).filter(
    (c) => !others.includes(c) || others.length === rest.length,
  );
  const remarked = valued.filter((c) => !isSaid(c) && isRemarks(c, grid));
  const series = remarked.length < valued.length ? valued.filter((c) => !remarked.includes(c)) : valued;
  const block: Block = {
    layout: "columns",
    sizes: lists,
    sizeHeading: columns
      .filter((c) => c.index === at.from || c.index === at.to)
      .map((c) => c.heading)
      .join(" ")
      .trim(),
    series: series.map((column) => {
      const one = seriesOf(column);
      return counted.length === 0 ? one : { ...one, says: [...counted, one.says].join(" ") };
    }),
    notes: [...notes],
    ...(at.rival === undefined ? {} : { rival: { ...at.rival, chosen: at.from } }),
    remarks: [
      ...(others.length === 0 || others.length === rest.length ? [] : [otherSizes(others)]),
      ...(series.length < valued.length ? [leftRemarks(remarked)] : []),
      ...(grid.roles === undefined ? unreadSizes(columns, [sizeColumn, second], grid) : []),
    ],
  };
  return sieveBlock(block, grid) ?? block;
}

function seriesOf(column: Column): Series {
  const { heading, index, numbers } = column;
  const at = { row: null, column: index + 1 };
  if (numbers === undefined) return { heading, says: heading, at, cells: column.cells };
  return {
    heading,
    says: heading,
    at,
    numbers,
    get cells() {
      return column.cells;
    },
  };
}

function otherSizes(others: readonly Column[]): Problem {
  const names = others.map((c) => `"${c.heading}"`).join(", ");
  return problem("note", `Left out as further columns of sizes: ${names}.`, { found: names });
}

const remarkWord =
  /^(?:remarks?|comments?|notes?|bemerkung(?:en)?|kommentare?|anmerkung(?:en)?|remarques?|commentaires?|observaciones|notas|observa[cç][oõ]es|osservazioni|commenti|примечани[ея]|备注|備考|비고)[.:]?$/i;
/** Of the cells that hold something, so many numbers are values with a fault among them, and no remarks. */
const minNumbers = 0.5;

/** A column of remarks, some of which are numbers: by its heading, or few numbers among words and blanks under a heading that speaks of no shares. */
function isRemarks(c: Column, { parsed }: Grid): boolean {
  if (c.numbers !== undefined) return false;
  if (remarkWord.test(c.heading.trim())) return true;
  const texts = c.cells.map(({ text }) => text).filter((text) => text !== "");
  const words = texts.filter((text) => parsed.share(text) === null && !parsed.isNothing(text));
  const numbers = texts.filter((text) => parsed.share(text) !== null).length;
  return (
    words.length > 0 &&
    numbers < minNumbers * c.cells.length &&
    numbers <= words.length &&
    !saysShares(c.heading)
  );
}

function leftRemarks(remarked: readonly Column[]): Problem {
  const names = remarked
    .map((c) => (c.heading === "" ? `column ${c.index + 1}` : `"${c.heading}"`))
    .join(", ");
  return problem("note", `Left out as remarks beside the table: ${names}.`, { found: names });
}

function isEmpty(c: Column): boolean {
  return c.numbers === undefined && c.cells.every(({ text }) => text === "");
}

/**
 * A further column of sizes is no measurement: "mid um" beside the edges, the same sizes in phi or another unit, and what
 * lies between the edges in every row.
 */
function isOtherSize(c: Column, from: Column | undefined, to: Column | undefined, grid: Grid): boolean {
  if (!isRun(filled(c), grid)) return false;
  if (percentileIn(c.heading) !== null) return false;
  const saysSo =
    c.heading !== "" && !saysShares(c.heading) && (unitIn(c.heading) !== null || saysMid(c.heading));
  const { parsed } = grid;
  const valuesOf = (column: Column) =>
    column.cells.map(({ text }) => parsed.um(parsed.range(text)?.from ?? text));
  // A unit or "middle" in a heading may be part of a name, "nm-7", where the values do not go along with the sizes.
  if (saysSo) {
    if (from === undefined || goAlong(valuesOf(c), valuesOf(from))) return true;
    return unitIn(from.heading) === "phi" && goAlong(valuesOf(from), valuesOf(c));
  }
  if (from === undefined || saysShares(c.heading)) return false;
  const [own, low] = [valuesOf(c), valuesOf(from)];
  const ratios = zip(own, low).map(([v, l]) => v / l);
  const isSame = [1, 1000, 1e-3].some((k) => ratios.every((r) => Math.abs(r / k - 1) <= 0.002));
  if (to === undefined || own.length < 4) return isSame && own.length >= 4;
  const high = valuesOf(to);
  return isSame || own.every((v, i) => (v - itemAt(low, i)) * (itemAt(high, i) - v) > 0);
}

/** Fewer show no course. */
const minAlong = 4;
/** How far sizes in another unit, or mids, may stray from keeping the same distance to the others. */
const sameDistance = 2;
/** The same for phi, which counts halvings, beside sizes or edges that step as they like. */
const samePhi = 1;
/** The same as a part of how far the sizes run. */
const partOfRange = 0.4;

/** Whether values keep the same distance to the sizes, as in another unit or for mids; or fall by one for each doubling, as phi; or as mesh numbers, which fall as sizes rise. */
function goAlong(values: readonly number[], sizes: readonly number[]): boolean {
  const pairs = zip(values, sizes).filter(([v, size]) => Number.isFinite(v) && size > 0);
  if (pairs.length < minAlong) return true;
  const spreadOf = (of: (v: number, size: number) => number) => {
    const all = pairs.map(([v, size]) => of(v, size));
    return maxOf(all) - minOf(all);
  };
  // Over a short list anything keeps its distance.
  const part = partOfRange * spreadOf((_, size) => Math.log2(size));
  const apart = Math.min(Math.log(sameDistance), part * Math.LN2);
  const apartInPhi = Math.min(samePhi, part);
  return (
    spreadOf((v, size) => Math.log(v / size)) <= apart ||
    spreadOf((v, size) => Math.log(v * size)) <= apart ||
    spreadOf((v, size) => v + Math.log2(size)) <= apartInPhi ||
    spreadOf((v, size) => v - Math.log2(size)) <= apartInPhi
  );
}
