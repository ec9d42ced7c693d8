import { apertureUm } from "./meshNumbers.ts";
import { type DecimalMark, numberIn } from "./numbers.ts";
import { withPlainDigits } from "./otherDigits.ts";
import type { UnitOption } from "./readingOptions.ts";
import { unitIn } from "./units.ts";
import { isPan } from "./words.ts";

/** One size as written: a number, the unit behind it, and whether the class is open on that side. */
export interface SizeText {
  readonly value: number;
  readonly unit: UnitOption | null;
  /** "<0.1" holds all that is finer, ">100" all that is coarser. */
  readonly open: "below" | "above" | null;
}

/** A longer cell holds a sentence. */
const longestSize = 60;
const below =
  /^(?:<=?|≤|＜|under|below|less than|finer than|up to|unter|kleiner als|bis|moins de|menor que|menos de|до|менее|以下)\s*/i;
const above =
  /^(?:>=?|≥|＞|over|above|more than|coarser than|uber|über|größer als|plus de|mayor que|más de|более|свыше)\s*/i;
const unitBehind =
  /\s*(?:um|µm|μm|nm|mm|phi|φ|microns?|микрон(?:а|ов|ы)?|mesh|мкм|нм|мм|微米|纳米|毫米)\.?$/i;
const number = "\\d+(?:[.,'’\u00a0\u202f ]\\d+)*(?:[.,](?![.,]))?(?:e[+-]?\\d+)?|[.,]\\d+";
const unit = "(?:um|µm|μm|nm|mm|microns?|микрон(?:а|ов|ы)?|мкм|нм|мм|微米|纳米|毫米)\\.?";
/** What stands between two sizes: signs, words of any language, a sign of comparison alone, a comma where brackets stand around. */
const signs = "\\.{2,3}|…|‥|\\s*(?:-{1,3}|[–—−‐‑‒―~～〜÷/|_→⇒]|[-=]>)\\s*";
const words =
  "\\s+(?:to|bis(?: unter| zu)?|a|à|up to|until|through|till|and|und|et|y|e|и|до|hasta|ate|até|al?)\\s+|(?<=\\d)to(?=\\d)|\\s*(?:から|至|到|부터|에서)\\s*";
const compared = "\\s*(?:<=?|≤)\\s*[xd]\\s*(?:<=?|≤)\\s*|\\s+(?=[<≤])";
const inBrackets = "(?<=^[[(\\]][^;]*)\\s*;\\s*|(?<=^[[(\\]].*),\\s+";
const between = `${signs}|${words}|${compared}|${inBrackets}`;
/** Two sizes in one cell, with whatever stands between and around them. */
const range = new RegExp(
  `^[[(\\]]?(?:(?:from|von|de|от|da|desde|between|entre|zwischen|[>≥]=?)\\s*)?(${number})\\s*(${unit})?(?:${between})(?:[<≤]=?\\s*)?(${number})\\s*(${unit})?(?:[\\])[]|まで|까지)?$`,
  "i",
);
/** The coarser edge first: "<2 >1". */
const under = new RegExp(
  `^[<≤]=?\\s*(${number})\\s*(${unit})?[\\s,;/]*[>≥]=?\\s*(${number})\\s*(${unit})?$`,
  "i",
);
/** What passes one sieve and stays on the next: "-63+45". */
const passing = new RegExp(
  `^[-−–]\\s*(${number})\\s*(${unit})?[\\s/]*\\+\\s*(${number})\\s*(${unit})?$`,
  "i",
);
const staying = new RegExp(
  `^\\+\\s*(${number})\\s*(${unit})?[\\s/]*[-−–]\\s*(${number})\\s*(${unit})?$`,
  "i",
);

/** "#70" is a sieve of so many meshes, where there is one; below ten it counts. */
const meshSign = /^#\s?([1-9]\d{1,2})$/;

/** A size in a cell; the pan under a sieve stack counts as zero. Null where there is none. */
export function sizeIn(given: string, mark: DecimalMark): SizeText | null {
  const text = withPlainDigits(given);
  const direct = numberIn(text, mark);
  if (direct !== null) return { value: direct, unit: null, open: null };
  if (text === "" || text.length > longestSize) return null;
  const sieve = meshSign.exec(text)?.[1];
  if (sieve !== undefined && apertureUm(Number(sieve)) !== null)
    return { value: Number(sieve), unit: "mesh", open: null };
  if (isPan(text)) return { value: 0, unit: null, open: null };
  const open = below.test(text) ? "below" : above.test(text) ? "above" : null;
  const bare = text.replace(open === "below" ? below : above, "");
  const value = numberIn(bare.replace(unitBehind, ""), mark);
  return value === null ? null : { value, unit: /mesh\.?$/i.test(bare) ? "mesh" : unitIn(bare), open };
}

/** µm in a unit that stands behind a size; 1 where none does, or one that counts no length. */
export function umIn(unit: UnitOption | null): number {
  return unit === "nm" ? 1e-3 : unit === "mm" ? 1e3 : unit === "m" ? 1e6 : 1;
}

/** Two sizes in one cell, as "1-2", "1 to 2 µm", "1…2"; null where there are not two. */
export function rangeIn(given: string, mark: DecimalMark): { from: string; to: string } | null {
  const text = withPlainDigits(given);
  if (text.length > longestSize || !/\d\D+\d/.test(text) || numberIn(text, mark) !== null) return null;
  const turned = passing.exec(text) ?? under.exec(text);
  const found = range.exec(text) ?? turned ?? staying.exec(text);
  if (found === null) return null;
  const [, one = "", oneUnit, other = "", otherUnit] = found;
  const all = oneUnit ?? otherUnit;
  const written = (size: string, own: string | undefined) => [size, own ?? all ?? ""].join(" ").trim();
  const [from, to] = [written(one, oneUnit), written(other, otherUnit)];
  if (sizeIn(from, mark) === null || sizeIn(to, mark) === null) return null;
  return turned === null || range.test(text) ? { from, to } : { from: to, to: from };
}

/** Whether a cell can stand in a column of sizes. */
export function isSize(text: string, mark: DecimalMark): boolean {
  return sizeIn(text, mark) !== null || rangeIn(text, mark) !== null;
}
