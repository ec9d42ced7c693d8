import Papa from "papaparse";

export type Delimiter = "," | ";" | "\t" | "|";
export type DecimalMark = "." | ",";

export interface Cells {
  readonly cells: readonly (readonly string[])[];
  readonly delimiter: Delimiter;
  readonly decimalMark: DecimalMark;
}

/**
 * Delimited text as cells. Delimiter and decimal mark are found together: the pair under which
 * the rows that hold numbers hold the most numbers and the fewest words.
 */
export function readCells(text: string): Cells {
  let best: { found: Cells; score: number } | null = null;
  for (const delimiter of [",", ";", "\t", "|"] as const) {
    const cells = Papa.parse<string[]>(text, { delimiter, skipEmptyLines: false }).data.map((row) =>
      row.map((cell) => cell.trim()),
    );
    for (const decimalMark of delimiter === "," ? ([".", ","] as const).slice(0, 1) : ([".", ","] as const)) {
      const score = scoreOf(cells, decimalMark);
      if (best === null || score > best.score) best = { found: { cells, delimiter, decimalMark }, score };
    }
  }
  return best?.found ?? { cells: [], delimiter: ",", decimalMark: "." };
}

function scoreOf(cells: readonly (readonly string[])[], decimalMark: DecimalMark): number {
  let score = 0;
  for (const row of cells.slice(0, 400)) {
    const numbers = row.filter((cell) => numberIn(cell, decimalMark) !== null).length;
    const words = row.filter((cell) => cell !== "").length - numbers;
    if (numbers > 0) score += numbers - words;
  }
  return score;
}

const plain = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;

/**
 * The number a cell holds, or null where it holds none. With a decimal comma, points between groups of three
 * are thousands marks; a true minus and blanks between groups are understood.
 */
export function numberIn(cell: string, decimalMark: DecimalMark): number | null {
  let text = cell
    .trim()
    .replace(/^[−–]/, "-")
    .replace(/[\u00a0\u202f]/g, "");
  if (decimalMark === ",") {
    if (/^[+-]?\d{1,3}(\.\d{3})+(,\d*)?$/.test(text)) text = text.replaceAll(".", "");
    else if (text.includes(".")) return null;
    text = text.replace(",", ".");
  }
  if (!plain.test(text)) return null;
  const value = Number(text);
  return Number.isFinite(value) ? value : null;
}
