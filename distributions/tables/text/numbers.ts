/** How a table writes the fraction of a number. */
export type DecimalMark = "." | ",";

const plain = /^[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:e[+-]?\d+)?$/i;
const commaPlain = /^[+-]?(?:\d+(?:,\d*)?|,\d+)(?:e[+-]?\d+)?$/i;
/** Longer is no number that a person or an instrument wrote. */
const longestNumber = 60;
/** Groups of three behind a first group that does not start with zero: 1,234 or 1.234.567. */
const commaGroups = /^[+-]?[1-9]\d{0,2}(?:,\d{3})+(?:\.\d*)?$/;
const pointGroups = /^[+-]?[1-9]\d{0,2}(?:\.\d{3})+(?:,\d*)?$/;
const otherGroups = /^[+-]?[1-9]\d{0,2}(?:[ \u00a0\u2009\u202f'’]\d{3})+(?:[.,]\d*)?$/;

/**
 * The number a cell holds, or null where it holds none. Understood besides digits: a true minus, a leading apostrophe
 * (text in a spreadsheet), thousands groups by blank, apostrophe or the mark that is not the decimal one.
 *
 * @param cell  without blanks around it
 */
export function numberIn(cell: string, mark: DecimalMark): number | null {
  if (cell.length > longestNumber || !canStartNumber(cell)) return null;
  if (mark === "." && plain.test(cell)) return finite(cell);
  if (mark === "," && !cell.includes(".") && commaPlain.test(cell)) return finite(cell.replace(",", "."));
  let text = cell.startsWith("'") ? cell.slice(1) : cell;
  text = text.replace(/^[−–]/, "-").replace(/e−/i, "e-");
  if (otherGroups.test(text)) text = text.replace(/[ \u00a0\u2009\u202f'’]/g, "");
  if (mark === ",") {
    if (pointGroups.test(text)) text = text.replaceAll(".", "");
    else if (text.includes(".")) return null;
    text = text.replace(",", ".");
  } else if (commaGroups.test(text)) text = text.replaceAll(",", "");
  return plain.test(text) ? finite(text) : null;
}

/** Most cells of a table are numbers or words, and the first sign tells which. */
function canStartNumber(cell: string): boolean {
  const first = cell.charCodeAt(0);
  // 0 … 9, then + - . , ' – −
  return (
    (first >= 0x30 && first <= 0x39) ||
    first === 0x2b ||
    first === 0x2d ||
    first === 0x2e ||
    first === 0x2c ||
    first === 0x27 ||
    first === 0x2013 ||
    first === 0x2212
  );
}

function finite(text: string): number | null {
  const value = Number(text);
  return Number.isFinite(value) ? value : null;
}

/**
 * Whether a cell tells the decimal mark: "point" or "comma" where only one makes sense, "either" for 1,234 and 1.234,
 * which are a thousand or a little more than one, null where the cell has no mark at all.
 */
export function decimalMarkStated(cell: string): DecimalMark | "either" | null {
  const asPoint = numberIn(cell, ".");
  const asComma = numberIn(cell, ",");
  if (asPoint === asComma) return null;
  if (asPoint !== null && asComma !== null) return "either";
  return asPoint !== null ? "." : ",";
}

/** The same for a share, behind which a per cent sign may stand. */
export function shareIn(text: string, mark: DecimalMark): number | null {
  return numberIn(text.endsWith("%") ? text.slice(0, -1).trimEnd() : text, mark);
}
