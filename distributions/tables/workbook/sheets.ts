import { isBlank, type Rows } from "#distributions/tables/layout/block.ts";

const marker = "sheet of the workbook: ";
const hiddenMarker = "hidden in the sheet: ";

interface SheetText {
  readonly name: string;
  readonly text: string;
  /** What of it a person who opens the workbook does not see, in words; null where they see all. */
  readonly hidden: string | null;
}

/** The sheets of a workbook as one text, each under a line with its name and one with what it hides; one alone that hides nothing needs none. */
export function joinSheets(sheets: readonly SheetText[]): string {
  const [only] = sheets;
  if (sheets.length === 1 && only?.hidden === null) return only.text;
  return sheets
    .flatMap(({ name, text, hidden }) => [
      `${marker}${name.replace(/\s+/g, " ").trim()}`,
      ...(hidden === null ? [] : [`${hiddenMarker}${hidden}`]),
      text,
    ])
    .join("\n");
}

/** Cells of one sheet, whose rows count from its own first; a file that is no workbook is one without a name. */
export interface SheetCells {
  readonly sheet: string | null;
  readonly cells: Rows;
  /** What of it is hidden, in words; absent where nothing is. */
  readonly hidden?: string;
}

/** Takes the cells of such a text apart again. */
export function sheetsIn(cells: Rows): SheetCells[] {
  const starts = [...cells.keys()].filter((r) => isMarker(cells[r] ?? []));
  if (starts[0] !== 0) return [{ sheet: null, cells }];
  return starts.map((start, i) => {
    const second = cells[start + 1]?.[0] ?? "";
    const hidden = second.startsWith(hiddenMarker) ? second.slice(hiddenMarker.length) : null;
    return {
      sheet: (cells[start]?.[0] ?? "").slice(marker.length),
      cells: cells.slice(start + (hidden === null ? 1 : 2), starts[i + 1] ?? cells.length),
      ...(hidden === null ? {} : { hidden }),
    };
  });
}

function isMarker(row: readonly string[]): boolean {
  return (row[0] ?? "").startsWith(marker) && isBlank(row.slice(1));
}
