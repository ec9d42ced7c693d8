import type { Block } from "#distributions/tables/layout/block.ts";
import type { ValuesOption } from "#distributions/tables/text/readingOptions.ts";
import { speaksOfShares, valuesInNotes } from "#distributions/tables/text/words.ts";
import type { Evidence } from "./evidence.ts";
import type { SpokenSeries } from "./spokenSeries.ts";

const about = "values" as const;

/** What the first line around a table that speaks of it says of its values. */
export function valuesInLines({ notes }: Block): readonly Evidence<ValuesOption>[] {
  for (const line of notes) {
    const says = speaksOfShares(line) ? valuesInNotes(line) : null;
    if (says !== null) return [{ about, says, from: "note", words: "a line of the notes" }];
  }
  return [];
}

/** Whether values are class shares, cumulative or a density, as words say; the numbers are weighed in valuesKind.ts. */
export function valuesEvidence({ series, own, claims, table }: SpokenSeries): Evidence<ValuesOption>[] {
  if (own !== null) return [{ about, says: "class", from: "copy", words: "the line above the table" }];
  const heading = claims.values.map(
    ({ value, isStrong, word }): Evidence<ValuesOption> => ({
      about,
      says: value,
      from: isStrong ? "heading" : "name",
      words: isStrong ? `the heading "${series.heading}"` : `"${word}" in the name "${series.heading}"`,
    }),
  );
  const sizes: Evidence<ValuesOption>[] =
    table.bySide === null
      ? []
      : [{ about, says: table.bySide, from: "heading", words: "the heading of the sizes" }];
  const isSpoken = [...heading, ...sizes].some((e) => e.from === "heading");
  return [...heading, ...sizes, ...(isSpoken ? [] : table.lines.values)];
}
