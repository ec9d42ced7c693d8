import type { Quantity } from "#distributions/sizeDistribution.ts";
import type { Block } from "#distributions/tables/layout/block.ts";
import type { Claims } from "#distributions/tables/text/claims.ts";
import { quantityInNotes, speaksOfShares } from "#distributions/tables/text/words.ts";
import type { Evidence } from "./evidence.ts";
import type { SpokenSeries } from "./spokenSeries.ts";

const about = "quantity" as const;

/** The quantities for which every heading has a word, as names of samples seldom do. */
export function sharedQuantities(claims: readonly Claims[]): ReadonlySet<Quantity> {
  const shared = new Set(claims[0]?.quantity.map(({ value }) => value));
  for (const { quantity } of claims)
    for (const value of shared) if (!quantity.some((claim) => claim.value === value)) shared.delete(value);
  return shared;
}

/** What the lines around a table say that its shares count; where its own are silent, those around all tables. */
export function quantityInLines({ notes, around = [] }: Block): readonly Evidence<Quantity>[] {
  const inLines = (lines: readonly string[]) =>
    lines.filter(speaksOfShares).flatMap((line): Evidence<Quantity>[] => {
      const says = quantityInNotes(line);
      return says === null
        ? []
        : [{ about, says, from: "note", words: `a line of the notes ("${line.slice(0, 60)}")` }];
    });
  const own = inLines(notes);
  return own.length > 0 ? own : inLines(around);
}

/** What the shares of a series count, as its heading, the heading of the sizes and the lines around the table say. */
export function quantityEvidence({ series, own, claims, table }: SpokenSeries): Evidence<Quantity>[] {
  if (own !== null) return [{ about, says: own.quantity, from: "copy", words: "the line above the table" }];
  const { quantity: notes } = table.lines;
  // Behind the name, and beside a note that says something, a word is no mere name: both are weighed.
  const heading = claims.quantity.map(
    ({ value, isStrong, opensName, isNumbered, word }): Evidence<Quantity> => {
      // Alone in a file, a word before others is asked about, unless they say of themselves what the values are.
      const isPlainName = isNumbered || claims.values.length > 0;
      // Before the name of every measurement it is none of a single one.
      const isOfOne = !table.isAlone && !(table.isOfSeveral && table.shared.has(value));
      const mayBeName = opensName && (isPlainName || isOfOne);
      const isHeading = isStrong || (!mayBeName && notes.length > 0 && table.shared.has(value));
      return {
        about,
        says: value,
        from: isHeading ? "heading" : "name",
        words: isStrong ? `the heading "${series.heading}"` : `"${word}" in the name "${series.heading}"`,
      };
    },
  );
  const sizes = table.sizeClaims.quantity.flatMap(({ value, isStrong }): Evidence<Quantity>[] =>
    isStrong ? [{ about, says: value, from: "heading", words: "the heading of the sizes" }] : [],
  );
  const isSpoken = heading.some((e) => e.from === "heading");
  return [...heading, ...notes, ...(isSpoken ? [] : sizes)];
}
