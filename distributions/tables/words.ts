import type { Quantity } from "../measured.ts";
import type { EdgeOption, ScaleOption, UnitOption, ValuesOption } from "./readingOptions.ts";

/** What a heading says of its column; null where it says nothing. */
function firstMatch<T>(text: string, table: readonly (readonly [RegExp, T])[]): T | null {
  const words = text.toLowerCase().replaceAll("_", " ");
  return table.find(([pattern]) => pattern.test(words))?.[1] ?? null;
}

export function unitIn(text: string): UnitOption | null {
  return firstMatch<UnitOption>(text, [
    [/(^|[^a-zµμ])(um|µm|μm|âµm|microns?|micromet(er|re)s?)([^a-z]|$)/, "um"],
    [/(^|[^a-z])(nm|nanomet(er|re)s?)([^a-z]|$)/, "nm"],
    [/(^|[^a-z])(mm|millimet(er|re)s?)([^a-z]|$)/, "mm"],
    [/(^|[^a-z])phi([^a-z]|$)|φ/, "phi"],
    [/[([]\s*m\s*[)\]]|\bmet(er|re)s?\b/, "m"],
  ]);
}

/** What one column of sizes is; "mid" alone does not say which mid, so it is null. */
export function edgeIn(text: string): EdgeOption | null {
  return firstMatch<EdgeOption>(text, [
    [/geometric\s*(mid|mean|centre|center)/, "geometric-mid"],
    [/arithmetic\s*(mid|mean|centre|center)/, "arithmetic-mid"],
    [/\b(upper|up to|to|high|max|maximum|top|until)\b/, "upper"],
    [/\b(lower|from|low|min|minimum|bottom)\b/, "lower"],
  ]);
}

export function saysMid(text: string): boolean {
  return /\b(mid|mids|midpoint|mid-point|centre|center)\b/.test(text.toLowerCase().replaceAll("_", " "));
}

export function valuesIn(text: string): ValuesOption | null {
  return firstMatch<ValuesOption>(text, [
    [/\b(oversize|coarser|residue|cumulative\s+(over|retained)|cum\w*\.?\s+(over|retained))\b/, "oversize"],
    [/\b(undersize|finer|passing|cumulative|cum|under)\b|\bq[0-3]\s*\(/, "undersize"],
    [/\b(density|per ln|per decade)\b/, "density"],
    [/\b(in class|class|frequency|interval|differential|in channel)\b/, "class"],
  ]);
}

export function scaleIn(text: string): ScaleOption | null {
  return firstMatch<ScaleOption>(text, [
    [/%|\b(percent|per cent|pct)\b/, "percent"],
    [/\bfractions?\b/, "fraction"],
  ]);
}

export function quantityIn(text: string): Quantity | null {
  return firstMatch<Quantity>(text, [
    [/\b(volume|vol|mass|weight|wt|q3)\b/, "volume"],
    [/\b(number|count|counts|num|q0)\b/, "number"],
    [/\b(surface|area|q2)\b/, "surface"],
    [/\b(length|q1)\b/, "length"],
  ]);
}

/** A line of notes speaks of the table only if it also speaks of shares. */
export function speaksOfShares(text: string): boolean {
  return /%|\b(share|shares|distribution|weighted|basis|fractions?|percent|undersize|oversize)\b/.test(
    text.toLowerCase(),
  );
}

export function isMeanName(name: string): boolean {
  return /^(mean|average|avg)\b/i.test(name.trim());
}
