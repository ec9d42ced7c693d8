import { withPlainDigits } from "./otherDigits.ts";

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
 * @param given  without blanks around it
 */
export function numberIn(given: string, mark: DecimalMark): number | null {
  const cell = given.charCodeAt(0) < firstOther ? given : withPlainDigits(given);
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

/** Digits of other scripts begin here. */
const firstOther = 0x660;

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

/** What may stand behind a share: a per cent sign, how far it is sure, as "± 0.02" or "(4)". */
const behindShare = /\s*(?:[%％‰]|(?:±|\+\/-|\+-)\s*[\d.,]+(?:\s*[%％])?|\(\d{1,3}\)\s*[%％]?)$/;

/** The same for a share, behind which a per cent sign or its uncertainty may stand. */
export function shareIn(given: string, mark: DecimalMark): number | null {
  const text = withPlainDigits(given);
  const plain = numberIn(text, mark);
  if (plain !== null || text.length > longestNumber || !/[%％‰±)\d]$/.test(text)) return plain;
  const bare = text.replace(behindShare, "");
  return bare === text ? null : numberIn(bare.replace(behindShare, ""), mark);
}

/** How a table writes that nothing was found in a class, or nothing that could be told from nothing. */
const nothing =
  /^(?:[-–—−*.·•/]{0,3}|n\.? ?[adnbqsz]\.?|k\.? ?a\.?|u\.? ?n\.?|n\/[adw]|nan|null|nil|none|zero|zéro|cero|keine?|aucune?|nihil|not (?:found|detected)|below(?: detection| limit)?|b\.?d\.?l\.?|l\.?o\.?d\.?|<\s*(?:l\.?o\.?[dq]\.?|l[dq]|mdl|bg|ng|nwg)|tr\.?|traces?|spuren?|н\.? ?[од]\.?|н\/[од]|нет|следы|未検出|未检出|不検出|不检出|無|无|なし|불검출|없음|[<＜]\s*[\d.,]+\s*[%％]?)$/i;

/** Whether a cell says that nothing was found, or says nothing. */
export function saysNothing(text: string): boolean {
  return text.length <= 16 && nothing.test(text);
}

/** How many decimals a number is written with; fewer by its exponent, where it has one. */
export function figuresIn(text: string): number {
  if (/^\d+\.\d+$/.test(text)) return text.length - 1 - text.indexOf(".");
  const [number = ""] = /^[^\s%±(]+/.exec(text.slice(0, longestNumber)) ?? [];
  const [, decimals = "", exponent = "0"] = /(?:[.,](\d+))?(?:e([+-]?\d{1,3}))?$/i.exec(number) ?? [];
  return decimals.length - Number(exponent);
}
