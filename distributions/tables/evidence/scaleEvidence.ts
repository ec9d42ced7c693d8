import type { Block } from "#distributions/tables/layout/block.ts";
import { type Claims, claimsOf } from "#distributions/tables/text/claims.ts";
import type { ScaleOption } from "#distributions/tables/text/readingOptions.ts";
import { speaksOfShares } from "#distributions/tables/text/words.ts";
import type { Evidence } from "./evidence.ts";
import type { SpokenSeries } from "./spokenSeries.ts";

const about = "scale" as const;

const lastStrong = ({ scale }: Claims) => scale.findLast((claim) => claim.isStrong)?.value ?? null;

/** What the first line around a table that speaks of it says of the scale of its values. */
export function scaleInLines({ notes }: Block): readonly Evidence<ScaleOption>[] {
  for (const line of notes) {
    const says = speaksOfShares(line) ? lastStrong(claimsOf(line)) : null;
    if (says !== null) return [{ about, says, from: "note", words: "a line of the notes" }];
  }
  return [];
}

/** Whether values are per cent, fractions, ppm or amounts, as words and signs in the cells say; sums are weighed later. */
export function scaleEvidence({
  series,
  parsed,
  own,
  claims,
  table,
}: SpokenSeries): readonly Evidence<ScaleOption>[] {
  if (own !== null) return [{ about, says: "fraction", from: "copy", words: "the line above the table" }];
  const inHeading = lastStrong(claims);
  // What is counted is whole; a share or a density under such a word is none.
  const isNoCount =
    inHeading === "amount" &&
    claims.quantity.some((claim) => claim.isStrong && claim.value === "number") &&
    series.cells.some(({ text }) => isBroken(parsed.share(text)));
  if (inHeading !== null && !isNoCount)
    return [{ about, says: inHeading, from: "heading", words: `the heading "${series.heading}"` }];
  const signed =
    series.numbers !== undefined ? 0 : series.cells.filter(({ text }) => /[%％]$/.test(text)).length;
  if (signed > 0 && signed >= series.cells.length / 2)
    return [{ about, says: "percent", from: "heading", words: "the per cent signs behind the values" }];
  const inSizes = lastStrong(table.sizeClaims);
  // An amount named beside the sizes says nothing of the shares.
  if (inSizes !== null && inSizes !== "amount")
    return [{ about, says: inSizes, from: "heading", words: "the heading of the sizes" }];
  return table.lines.scale;
}

function isBroken(value: number | null): boolean {
  return value !== null && !Number.isInteger(value);
}
