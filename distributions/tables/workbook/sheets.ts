import { isBlank, type Rows } from "#distributions/tables/layout/block.ts";

const marker = "sheet of the workbook: ";

/** The sheets of a workbook as one text, each under a line with its name; one alone needs none. */
export function joinSheets(sheets: readonly { readonly name: string; readonly text: string }[]): string {
  if (sheets.length === 1) return sheets[0]?.text ?? "";
  return sheets.map(({ name, text }) => `${marker}${name.replace(/\s+/g, " ").trim()}\n${text}`).join("\n");
}

/** Cells of one sheet, whose rows count from its own first; a file that is no workbook is one without a name. */
export interface SheetCells {
  readonly sheet: string | null;
  readonly cells: Rows;
}

/** Takes the cells of such a text apart again. */
export function sheetsIn(cells: Rows): SheetCells[] {
  const starts = [...cells.keys()].filter((r) => isMarker(cells[r] ?? []));
  if (starts[0] !== 0) return [{ sheet: null, cells }];
  return starts.map((start, i) => ({
    sheet: (cells[start]?.[0] ?? "").slice(marker.length),
    cells: cells.slice(start + 1, starts[i + 1] ?? cells.length),
  }));
}

function isMarker(row: readonly string[]): boolean {
  return (row[0] ?? "").startsWith(marker) && isBlank(row.slice(1));
}
