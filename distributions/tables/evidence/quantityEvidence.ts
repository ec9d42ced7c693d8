import type { Quantity } from "#distributions/sizeDistribution.ts";
import { claimsOf } from "#distributions/tables/text/claims.ts";
import { quantityInNotes, speaksOfShares } from "#distributions/tables/text/words.ts";
import type { Evidence } from "./evidence.ts";
import type { SpokenSeries } from "./spokenSeries.ts";

/** Whether every heading has a word for the same quantity, as names of samples seldom do. */
function isShared(value: Quantity, { series }: SpokenSeries["block"]): boolean {
  return series.every(({ says }) => claimsOf(says).quantity.some((claim) => claim.value === value));
}

/** What the shares of a series count, as its heading, the heading of the sizes and the lines around the table say. */
export function quantityEvidence({
  series,
  block,
  own,
  claims,
  sizeClaims,
}: SpokenSeries): Evidence<Quantity>[] {
  const about = "quantity" as const;
  if (own !== null) return [{ about, says: own.quantity, from: "copy", words: "the line above the table" }];
  const inLines = (lines: readonly string[]) =>
    lines.filter(speaksOfShares).flatMap((line): Evidence<Quantity>[] => {
      const says = quantityInNotes(line);
      return says === null
        ? []
        : [{ about, says, from: "note", words: `a line of the notes ("${line.slice(0, 60)}")` }];
    });
  const ownNotes = inLines(block.notes);
  const notes = ownNotes.length > 0 ? ownNotes : inLines(block.around ?? []);
  // Behind the name, and beside a note that says something, a word is no mere name: both are weighed.
  const heading = claims.quantity.map(({ value, isStrong, isFirst, word }): Evidence<Quantity> => {
    const isHeading = isStrong || (!isFirst && notes.length > 0 && isShared(value, block));
    return {
      about,
      says: value,
      from: isHeading ? "heading" : "name",
      words: isStrong ? `the heading "${series.heading}"` : `"${word}" in the name "${series.heading}"`,
    };
  });
  const sizes = sizeClaims.quantity.flatMap(({ value, isStrong }): Evidence<Quantity>[] =>
    isStrong ? [{ about, says: value, from: "heading", words: "the heading of the sizes" }] : [],
  );
  const isSpoken = heading.some((e) => e.from === "heading");
  return [...heading, ...notes, ...(isSpoken ? [] : sizes)];
}
