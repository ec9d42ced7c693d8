import { isPan, isSummaryWord, percentileIn } from "#distributions/tables/text/words.ts";
import { type Grid, isBlank, isMonotone, textOf } from "./block.ts";

/** Rows of numbers that belong together, with the lines that stand between them and the rows before. */
export interface Chunk {
  readonly rows: { readonly values: readonly string[]; readonly row: number }[];
  /** Lines above, blank ones as empty rows. */
  readonly above: { readonly values: readonly string[]; readonly row: number }[];
  /** Lines below that no other chunk takes as its heading. */
  readonly below: string[];
  readonly sizeAt: number;
}

/** Where the first size of a row stands that has a number behind it; −1 for a row that holds no data. */
function sizeColumnOf(row: readonly string[], grid: Grid): number {
  const { parsed } = grid;
  const first = row.findIndex((text) => text !== "");
  const word = row[first] ?? "";
  if (first < 0 || isSummaryWord(word) || percentileIn(word) !== null) return -1;
  if (startsWithMark(row, first, grid)) return first;
  for (let c = first; c < Math.min(row.length, first + 8); c++) {
    if (!parsed.isSize(row[c] ?? "") && !isNumber(row[c] ?? "", parsed)) continue;
    for (let k = c + 1; k < row.length; k++)
      if (isNumber(row[k] ?? "", parsed) || parsed.isSize(row[k] ?? "") || isMark(row[k] ?? "", parsed))
        return c;
    return -1;
  }
  return -1;
}

/** "n.d.", "–" and the like, where a share should be. */
function isMark(text: string, parsed: Grid["parsed"]): boolean {
  return text !== "" && parsed.number(text) === null && parsed.isNothing(text);
}

/** Shares stand before the sizes, the first of them as a mark for nothing, and nothing else does. */
function startsWithMark(row: readonly string[], first: number, { parsed }: Grid): boolean {
  if (!isMark(row[first] ?? "", parsed)) return false;
  const rest = row.slice(first + 1).filter((text) => text !== "");
  return (
    rest.some((text) => parsed.number(text) !== null) &&
    rest.every((text) => parsed.number(text) !== null || isMark(text, parsed))
  );
}

function isNumber(text: string, parsed: Grid["parsed"]): boolean {
  return parsed.share(text) !== null;
}

/** Cuts a file into its tables: a blank line, a heading, or sizes that start over end one and begin the next. */
export function chunksOf(grid: Grid): Chunk[] {
  const chunks: Chunk[] = [];
  let open: Chunk | null = null;
  let gap: Chunk["above"] = [];
  for (const [i, values] of grid.cells.entries()) {
    const line = { values, row: i + 1 };
    const at = numbersColumns(gap.at(-1), i, grid) ? -1 : sizeColumnOf(values, grid);
    if (at < 0) {
      if (open !== null && gap.length === 0 && isBroken(values, open, grid)) open.rows.push(line);
      else gap.push(line);
      continue;
    }
    if (
      open !== null &&
      gap.length === 0 &&
      isBehindRemark(open, { line, below: grid.cells[i + 1], sizeAt: at }, grid)
    ) {
      const moved: Chunk = { ...open, sizeAt: at };
      chunks[chunks.length - 1] = moved;
      open = moved;
    }
    if (open !== null && goesOn(open, gap, line, grid)) {
      open.rows.push(line);
      if (gap.length > 0) gap = [];
      continue;
    }
    // A lone row of another build is the heading of what follows, as "um, 1, 2, 3" with runs by number.
    if (
      open !== null &&
      open.rows.length === 1 &&
      gap.length === 0 &&
      open.sizeAt !== at &&
      (open.rows[0]?.values[0] ?? "") !== ""
    ) {
      gap = [...open.above, ...open.rows];
      chunks.pop();
    }
    const started = sizesAbove(gap, { line, below: grid.cells[i + 1], sizeAt: at }, grid);
    open = {
      rows: [...started, line],
      above: gap.slice(0, gap.length - started.length),
      below: [],
      sizeAt: at,
    };
    gap = [];
    chunks.push(open);
  }
  if (open !== null) for (const { values } of gap) if (!isBlank(values)) open.below.push(textOf(values));
  return tablesOf(chunks);
}

/** Whether a table's first row has a number before its size, as a remark is, and the sizes run on from it in the rows below. */
function isBehindRemark(open: Chunk, { line, below, sizeAt }: FirstRow, { parsed }: Grid): boolean {
  const [lone] = open.rows;
  if (open.rows.length > 1 || lone === undefined || sizeAt <= open.sizeAt) return false;
  const [first = null, next = null, then = null] = [lone.values, line.values, below].map((row) =>
    sizeOf(row, sizeAt, parsed),
  );
  const isHeaded = (open.above.at(-1)?.values[sizeAt] ?? "") !== "";
  const runs = first !== null && next !== null && then !== null && (next - first) * (then - next) > 0;
  return (
    isHeaded &&
    runs &&
    line.values.filter((text) => text !== "").length < lone.values.filter((text) => text !== "").length
  );
}

/** The first row of a table that can be read, with the row below it and where its size stands. */
interface FirstRow {
  readonly line: Chunk["rows"][number];
  readonly below: readonly string[] | undefined;
  readonly sizeAt: number;
}

/**
 * The rows just above a table's first that have a size in the column of the sizes and no share that can be read. A size
 * alone closes the class beside it; where the sizes run on from it, words or marks beside it ("1.5*") are a fault to report.
 */
function sizesAbove(gap: Chunk["above"], { line, below, sizeAt }: FirstRow, { parsed }: Grid): Chunk["rows"] {
  const rows: { values: readonly string[]; row: number }[] = [];
  for (const above of gap.toReversed()) {
    const [next, further] = [rows[0] ?? line, rows[0] === undefined ? below : (rows[1] ?? line).values];
    const others = above.values.filter((text, c) => c !== sizeAt && text !== "");
    const sizes = [above.values, next.values, further].map((values) => sizeOf(values, sizeAt, parsed));
    const [size = null, here = null, then = null] = sizes;
    const runs = size !== null && here !== null && (here - size) * ((then ?? here) - here) >= 0;
    // A row with a number behind its size was taken for a heading.
    const isFault = runs && !others.some((text) => isNumber(text, parsed));
    if (above.row + 1 !== next.row || size === null || (others.length > 0 && !isFault)) break;
    rows.unshift(above);
  }
  return rows;
}

/** Fewer columns would be numbered as a first row of data may run. */
const minNumbered = 3;

/** A row 1, 2, 3 … below headings that numbers the columns: as sizes it would be out of order, or no edges where those below are. */
function numbersColumns(
  heading: Chunk["above"][number] | undefined,
  r: number,
  { cells, parsed }: Grid,
): boolean {
  const [own, next, then] = [cells[r] ?? [], cells[r + 1] ?? [], cells[r + 2] ?? []];
  const filled = own.filter((text) => text !== "");
  const isCount = filled.length >= minNumbered && filled.every((text, k) => text === String(k + 1));
  if (!isCount || heading?.row !== r || heading.values.filter((text) => text !== "").length < filled.length)
    return false;
  const first = own.findIndex((text) => text !== "");
  const [from, to, goesOn] = [next[first], next[first + 1], then[first]].map((text) => parsed.um(text ?? ""));
  if (from === undefined || to === undefined || goesOn === undefined) return false;
  const isOutOfOrder = (from - 1) * (goesOn - from) < 0;
  return isOutOfOrder || (from !== 2 && Math.abs(goesOn / to - 1) <= sameEdge);
}
const sameEdge = 0.002;

/** Where there are real tables, a lone row of numbers is a line of remarks. */
function tablesOf(chunks: readonly Chunk[]): Chunk[] {
  if (!chunks.some((c) => c.rows.length >= 3)) return [...chunks];
  const kept: Chunk[] = [];
  let loose: Chunk["above"] = [];
  for (const chunk of chunks) {
    if (chunk.rows.length === 1) {
      loose = [...loose, ...chunk.above, ...chunk.rows];
      for (const line of chunk.below) kept.at(-1)?.below.push(line);
    } else {
      kept.push({ ...chunk, above: [...loose, ...chunk.above] });
      loose = [];
    }
  }
  for (const { values } of loose) if (!isBlank(values)) kept.at(-1)?.below.push(textOf(values));
  return kept;
}

/** A row inside the table that cannot be read but belongs to it: a fault to report, not the table's end. */
function isBroken(values: readonly string[], open: Chunk, { parsed }: Grid): boolean {
  const first = values.find((text) => text !== "") ?? "";
  if (isPan(first)) return true;
  if (first === "" || isSummaryWord(first) || percentileIn(first) !== null) return false;
  const hasSize = parsed.isSize(values[open.sizeAt] ?? "");
  if (!hasSize && sumsUp(values, open, parsed)) return false;
  return hasSize || values.slice(open.sizeAt + 1).some((text) => parsed.number(text) !== null);
}

/** A row that holds the sum of each column above it is a total, whatever it is called. */
function sumsUp(values: readonly string[], open: Chunk, parsed: Grid["parsed"]): boolean {
  const places = values.flatMap((text, c) => {
    const total = c > open.sizeAt ? parsed.share(text) : null;
    return total === null ? [] : [{ c, total }];
  });
  if (open.rows.length < 3) return false;
  const isSum = ({ c, total }: { c: number; total: number }) => {
    const sum = open.rows.reduce((above, row) => above + (parsed.share(row.values[c] ?? "") ?? 0), 0);
    return Math.abs(total - sum) <= 0.006 * Math.abs(sum) && sum !== 0;
  };
  return places.length > 0 && places.every(isSum);
}

/** Names, words and units above a table stand in so many rows at most. */
const headingRows = 3;

/** Whether a row goes on with the table above it, past what stands between. */
function goesOn(open: Chunk, gap: Chunk["above"], line: Chunk["rows"][number], grid: Grid): boolean {
  if (gap.length === 0) return sizeColumnOf(line.values, grid) === open.sizeAt || open.rows.length > 1;
  const lettersOf = (values: readonly string[]) => values.join("\t").toLowerCase();
  // Names and units may stand in rows of their own, and all of them again at the page break.
  const heading = new Set(
    open.above
      .filter(({ values }) => !isBlank(values))
      .slice(-headingRows)
      .map(({ values }) => lettersOf(values)),
  );
  const isHeading = ({ values }: (typeof gap)[number]) => heading.has(lettersOf(values));
  const isNothing = gap.every((row) => isBlank(row.values) || isPageWord(row.values) || isHeading(row));
  const isRepeated = gap.some(isHeading);
  return isNothing && (runsOn(open, line, open.sizeAt, grid) || (isRepeated && anyRunsOn(open, line, grid)));
}

/** Common use, no source: "page 2", "Seite 2 von 3", "- 2 -", "2/3". */
const pageWord =
  /^[-–—]?\s*(?:(?:page|seite|blatt|p[aá]gina|стр|страница|ページ|頁|第|页|쪽|페이지)(?![a-z]).{0,40}|\d{1,4}\s*(?:\/|of|von|de|di|sur|из)\s*\d{1,4}|(?<=[-–—]\s*)\d{1,4}(?=\s*[-–—]$))\s*[-–—]?$/i;

function isPageWord(values: readonly string[]): boolean {
  return pageWord.test(values.join(" ").trim());
}

/** Sizes need not stand first: a page with the same heading goes on where any column runs on from its first row to the last. */
function anyRunsOn(open: Chunk, line: Chunk["rows"][number], grid: Grid): boolean {
  return line.values.some((text, c) => {
    if (text === "" || c === open.sizeAt) return false;
    return isMonotone([...open.rows, line].map((row) => sizeOf(row.values, c, grid.parsed)));
  });
}

/** The next size lies beyond the last, the way the sizes run. */
function runsOn(open: Chunk, line: Chunk["rows"][number], sizeAt: number, { parsed }: Grid): boolean {
  const [last = null, before = null] = [open.rows.at(-1), open.rows.at(-2)].map((row) =>
    sizeOf(row?.values, sizeAt, parsed),
  );
  const next = sizeOf(line.values, sizeAt, parsed);
  if (last === null || next === null) return false;
  return before === null ? true : (last - before) * (next - last) > 0;
}

function sizeOf(
  values: readonly string[] | undefined,
  sizeAt: number,
  parsed: Grid["parsed"],
): number | null {
  const text = values?.[sizeAt] ?? "";
  const from = parsed.range(text)?.from ?? text;
  const size = parsed.um(from);
  if (Number.isNaN(size)) return null;
  // The open class below "1" lies before the class from 1 on.
  return parsed.size(from)?.open === "below" ? size * (1 - 1e-9) : size;
}
