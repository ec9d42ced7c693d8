import type { Quantity } from "#distributions/sizeDistribution.ts";
import { claimsOf } from "#distributions/tables/text/claims.ts";
import { quantityInNotes, speaksOfShares } from "#distributions/tables/text/words.ts";
import type { Evidence } from "./evidence.ts";
import type { SpokenSeries } from "./spokenSeries.ts";

/** What the shares of a series count, as its heading, the heading of the sizes and the lines around the table say. */
export function quantityEvidence({ series, block, own }: SpokenSeries): Evidence<Quantity>[] {
  const about = "quantity" as const;
  if (own !== null) return [{ about, says: own.quantity, from: "copy", words: "the line above the table" }];
  const heading = claimsOf(series.says).quantity.map(
    ({ value, isStrong, word }): Evidence<Quantity> => ({
      about,
      says: value,
      from: isStrong ? "heading" : "name",
      words: isStrong ? `the heading "${series.heading}"` : `"${word}" in the name "${series.heading}"`,
    }),
  );
  const inLines = (lines: readonly string[]) =>
    lines.filter(speaksOfShares).flatMap((line): Evidence<Quantity>[] => {
      const says = quantityInNotes(line);
      return says === null
        ? []
        : [{ about, says, from: "note", words: `a line of the notes ("${line.slice(0, 60)}")` }];
    });
  const ownNotes = inLines(block.notes);
  const notes = ownNotes.length > 0 ? ownNotes : inLines(block.around ?? []);
  const sizes = claimsOf(block.sizeHeading).quantity.flatMap(({ value, isStrong }): Evidence<Quantity>[] =>
    isStrong ? [{ about, says: value, from: "heading", words: "the heading of the sizes" }] : [],
  );
  const isSpoken = heading.some((e) => e.from === "heading");
  return [...heading, ...notes, ...(isSpoken ? [] : sizes)];
}
