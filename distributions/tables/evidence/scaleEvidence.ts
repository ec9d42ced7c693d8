import { type Claims, claimsOf } from "#distributions/tables/text/claims.ts";
import { shareIn } from "#distributions/tables/text/numbers.ts";
import type { ScaleOption } from "#distributions/tables/text/readingOptions.ts";
import { speaksOfShares } from "#distributions/tables/text/words.ts";
import type { Evidence } from "./evidence.ts";
import type { SpokenSeries } from "./spokenSeries.ts";

/** Whether values are per cent, fractions, ppm or amounts, as words and signs in the cells say; sums are weighed later. */
export function scaleEvidence({
  series,
  block,
  mark,
  own,
  claims,
  sizeClaims,
}: SpokenSeries): Evidence<ScaleOption>[] {
  const about = "scale" as const;
  if (own !== null) return [{ about, says: "fraction", from: "copy", words: "the line above the table" }];
  const first = ({ scale }: Claims) => scale.findLast((claim) => claim.isStrong)?.value ?? null;
  const inHeading = first(claims);
  // What is counted is whole; a share or a density under such a word is none.
  const isNoCount =
    inHeading === "amount" &&
    claims.quantity.some((claim) => claim.isStrong && claim.value === "number") &&
    series.cells.some(({ text }) => isBroken(shareIn(text, mark)));
  if (inHeading !== null && !isNoCount)
    return [{ about, says: inHeading, from: "heading", words: `the heading "${series.heading}"` }];
  const signed = series.cells.filter(({ text }) => /[%％]$/.test(text)).length;
  if (signed > 0 && signed >= series.cells.length / 2)
    return [{ about, says: "percent", from: "heading", words: "the per cent signs behind the values" }];
  const inSizes = first(sizeClaims);
  // An amount named beside the sizes says nothing of the shares.
  if (inSizes !== null && inSizes !== "amount")
    return [{ about, says: inSizes, from: "heading", words: "the heading of the sizes" }];
  const inNotes = block.notes
    .filter(speaksOfShares)
    .map((line) => first(claimsOf(line)))
    .find((says) => says !== null);
  return inNotes === undefined || inNotes === null
    ? []
    : [{ about, says: inNotes, from: "note", words: "a line of the notes" }];
}

function isBroken(value: number | null): boolean {
  return value !== null && !Number.isInteger(value);
}
