import { decimalMark, typedText } from "#ui/data/numberMarks.ts";
import { numberOf } from "./numberText.ts";

/** What a cell of an editable table holds; null is empty. */
export type CellValue = string | number | null;

export interface EditableColumn {
  readonly key: string;
  readonly label: string;
  /** Stands in the heading, never in a cell. */
  readonly unit: string;
  readonly kind: "number" | "text";
  /** A row is not whole without it. */
  readonly isNeeded?: boolean;
  /** Measured or worked out: shown and copied, never typed. */
  readonly isFixed?: boolean;
  /** Taken over by "as the last lot". */
  readonly isCarried?: boolean;
  /** Why a number cannot stand here, as what was expected; null where it can. */
  readonly whyNot?: (value: number) => string | null;
  /** What a text means here, null where it means nothing; left out, it stands as it was typed. */
  readonly meaning?: (text: string) => string | null;
  /** What was expected where a text means nothing. */
  readonly expected?: string;
  /** How a number is shown; as it was entered when left out. */
  readonly show?: (value: number) => string;
}

/** A text that is to stand in a cell, by the place of its row and column on screen. */
export interface CellText {
  readonly row: number;
  readonly column: number;
  readonly text: string;
}

export interface CellPlace {
  readonly row: number;
  readonly column: number;
}

export type ReadCell =
  | { readonly kind: "value"; readonly value: CellValue }
  | { readonly kind: "fault"; readonly expected: string };

/** A cell as text that reads back as the very same value. */
export function cellText(value: CellValue): string {
  if (value === null) return "";
  return typeof value === "number" ? typedText(value) : value;
}

/** What a text in a column means, or what was expected in its place. */
export function readCell(column: EditableColumn, text: string): ReadCell {
  const trimmed = text.trim();
  if (trimmed === "" && column.isNeeded === true)
    return { kind: "fault", expected: column.kind === "number" ? numberWanted(column) : "a name" };
  if (column.kind === "text") return readText(column, trimmed);
  const typed = numberOf(text, decimalMark.value);
  if (typed.kind === "empty") return { kind: "value", value: null };
  if (typed.kind === "unclear") return { kind: "fault", expected: `${numberWanted(column)}. ${typed.why}` };
  const expected = column.whyNot?.(typed.value) ?? null;
  return expected === null ? { kind: "value", value: typed.value } : { kind: "fault", expected };
}

function readText({ meaning, expected = "another word" }: EditableColumn, trimmed: string): ReadCell {
  if (trimmed === "") return { kind: "value", value: null };
  const value = meaning === undefined ? trimmed : meaning(trimmed);
  return value === null ? { kind: "fault", expected } : { kind: "value", value };
}

function numberWanted({ unit }: EditableColumn): string {
  return unit === "" ? "a number" : `a number in ${unit}`;
}

/** Rows and columns of texts as tab-separated lines; a text that holds a tab, a line end or a quote is quoted. */
export function blockText(rows: readonly (readonly string[])[]): string {
  return rows
    .map((row) =>
      row.map((text) => (/[\t\r\n"]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text)).join("\t"),
    )
    .join("\n");
}

/** The rows and columns of texts that tab-separated lines hold; the line end behind the last row is no row. */
export function blockOf(pasted: string): string[][] {
  const rows: string[][] = [];
  const cell = /("(?:[^"]|"")*"|[^\t\r\n]*)(\t|\r\n|\n|\r|$)/y;
  let row: string[] = [];
  for (;;) {
    const start = cell.lastIndex;
    const [, text = "", end = ""] = cell.exec(pasted) ?? [];
    if (start >= pasted.length && row.length === 0) return rows;
    row.push(text.startsWith('"') ? text.slice(1, -1).replaceAll('""', '"') : text);
    if (end === "\t") continue;
    rows.push(row);
    if (end === "") return rows;
    row = [];
  }
}

/** Both corners of a block of cells, in order. */
export function cornersOf(a: CellPlace, b: CellPlace): { readonly from: CellPlace; readonly to: CellPlace } {
  return {
    from: { row: Math.min(a.row, b.row), column: Math.min(a.column, b.column) },
    to: { row: Math.max(a.row, b.row), column: Math.max(a.column, b.column) },
  };
}

/** Every place of a block, row by row. */
export function placesIn(a: CellPlace, b: CellPlace): CellPlace[] {
  const { from, to } = cornersOf(a, b);
  return Array.from({ length: to.row - from.row + 1 }, (_, i) => from.row + i).flatMap((row) =>
    Array.from({ length: to.column - from.column + 1 }, (__, j) => ({ row, column: from.column + j })),
  );
}

/** A pasted block from the upper left corner of what is selected; one text alone fills all of it. */
export function pastedCells(block: readonly (readonly string[])[], a: CellPlace, b: CellPlace): CellText[] {
  const [[only = ""] = []] = block;
  if (block.length === 1 && block[0]?.length === 1)
    return placesIn(a, b).map((place) => ({ ...place, text: only }));
  const { from } = cornersOf(a, b);
  return block.flatMap((row, i) =>
    row.map((text, j) => ({ row: from.row + i, column: from.column + j, text })),
  );
}

/** The top row of what is selected over the rows below it; of one row alone, the row above it over it. */
export function filledDown(a: CellPlace, b: CellPlace, textAt: (at: CellPlace) => string): CellText[] {
  const { from, to } = cornersOf(a, b);
  const top = from.row === to.row ? from.row - 1 : from.row;
  if (top < 0) return [];
  return placesIn({ ...from, row: top + 1 }, to).map((place) => ({
    ...place,
    text: textAt({ row: top, column: place.column }),
  }));
}

/** What the row above holds, in the cells of a row that are carried over and still empty. */
export function asRowAbove(
  row: number,
  columns: readonly EditableColumn[],
  textAt: (at: CellPlace) => string,
): CellText[] {
  if (row === 0) return [];
  return columns.flatMap(({ isCarried = false, isFixed = false }, column) => {
    const above = textAt({ row: row - 1, column });
    return isCarried && !isFixed && above !== "" && textAt({ row, column }) === ""
      ? [{ row, column, text: above }]
      : [];
  });
}

/** Where the cursor stands, the far corner of what is selected, and the text that is being typed; null while none is. */
export interface GridCursor {
  readonly at: CellPlace;
  readonly corner: CellPlace;
  readonly typing: string | null;
}

/** How many digits stand behind the decimal mark. */
export function placesOf(text: string): number {
  return text.match(/[.,](\d+)$/)?.[1]?.length ?? 0;
}
