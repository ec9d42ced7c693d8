import type { DecimalMark } from "./numbers.ts";

/** More digits than a whole number holds exactly. */
const maxDigits = 15;

/** Exact as numbers, so that digits over one of them are rounded once, as the text itself would be. */
const powersOfTen: readonly number[] = Array.from({ length: maxDigits + 1 }, (_, i) => 10 ** i);

/**
 * The number of a cell that is figures with one decimal mark at most, as nearly all cells of a table are; NaN for anything
 * else, which `numberIn` reads. Where this gives a number it is the same, to the last bit
 * (tests/distributions/tables/text/plainNumber.test.ts).
 */
export function plainNumber(text: string, mark: DecimalMark): number {
  const sign = mark.charCodeAt(0);
  let whole = 0;
  let digits = 0;
  let markAt = -1;
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code >= 0x30 && code <= 0x39) {
      whole = 10 * whole + (code - 0x30);
      digits++;
    } else if (code === sign && markAt < 0) markAt = i;
    else return Number.NaN;
  }
  if (digits === 0 || digits > maxDigits) return Number.NaN;
  const decimals = markAt < 0 ? 0 : text.length - 1 - markAt;
  return whole / (powersOfTen[decimals] ?? Number.NaN);
}
