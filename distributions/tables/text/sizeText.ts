import { type DecimalMark, numberIn } from "./numbers.ts";
import type { UnitOption } from "./readingOptions.ts";
import { isPan, unitIn } from "./words.ts";

/** One size as written: a number, the unit behind it, and whether the class is open on that side. */
export interface SizeText {
  readonly value: number;
  readonly unit: UnitOption | null;
  /** "<0.1" holds all that is finer, ">100" all that is coarser. */
  readonly open: "below" | "above" | null;
}

/** A longer cell holds a sentence. */
const longestSize = 60;
const below = /^(?:<=?|≤|under|below|less than|finer than|up to)\s*/i;
const above = /^(?:>=?|≥|over|above|more than|coarser than)\s*/i;
const unitBehind = /\s*(?:um|µm|μm|nm|mm|phi|φ|microns?|mesh)\.?$/i;
const range = /^([^\s–—-][^–—]*?)\s*(?:–|—|\.\.\.?|…|\bto\b|\s-\s|-)\s*([^\s–—-].*)$/;

/** A size in a cell; the pan under a sieve stack counts as zero. Null where there is none. */
export function sizeIn(text: string, mark: DecimalMark): SizeText | null {
  const direct = numberIn(text, mark);
  if (direct !== null) return { value: direct, unit: null, open: null };
  if (text === "" || text.length > longestSize) return null;
  if (isPan(text)) return { value: 0, unit: null, open: null };
  const open = below.test(text) ? "below" : above.test(text) ? "above" : null;
  const bare = text.replace(open === "below" ? below : above, "");
  const value = numberIn(bare.replace(unitBehind, ""), mark);
  return value === null ? null : { value, unit: /mesh\.?$/i.test(bare) ? "mesh" : unitIn(bare), open };
}

/** Two sizes in one cell, as "1-2", "1 to 2 µm", "1…2"; null where there are not two. */
export function rangeIn(text: string, mark: DecimalMark): { from: string; to: string } | null {
  if (text.length > longestSize || !/^\S*\d/.test(text)) return null;
  const found = range.exec(text);
  const from = found?.[1]?.trim() ?? "";
  const to = found?.[2]?.trim() ?? "";
  if (from === "" || to === "") return null;
  const first = sizeIn(from, mark);
  const second = sizeIn(to, mark);
  if (first === null || second === null || first.open !== null) return null;
  const unit = /(?:um|µm|μm|nm|mm)\.?$/i.exec(to)?.[0];
  return { from: first.unit === null && unit !== undefined ? `${from} ${unit}` : from, to };
}

/** Whether a cell can stand in a column of sizes. */
export function isSize(text: string, mark: DecimalMark): boolean {
  return sizeIn(text, mark) !== null || rangeIn(text, mark) !== null;
}
