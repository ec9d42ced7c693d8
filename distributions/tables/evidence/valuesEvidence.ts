import type { ValuesOption } from "#distributions/tables/text/readingOptions.ts";
import { speaksOfShares, valuesInNotes } from "#distributions/tables/text/words.ts";
import type { Evidence } from "./evidence.ts";
import type { SpokenSeries } from "./spokenSeries.ts";

/** Whether values are class shares, cumulative or a density, as words say; the numbers are weighed in valuesKind.ts. */
export function valuesEvidence({ series, block, own, claims }: SpokenSeries): Evidence<ValuesOption>[] {
  const about = "values" as const;
  if (own !== null) return [{ about, says: "class", from: "copy", words: "the line above the table" }];
  const heading = claims.values.map(
    ({ value, isStrong, word }): Evidence<ValuesOption> => ({
      about,
      says: value,
      from: isStrong ? "heading" : "name",
      words: isStrong ? `the heading "${series.heading}"` : `"${word}" in the name "${series.heading}"`,
    }),
  );
  if (heading.some((e) => e.from === "heading")) return heading;
  const note = block.notes
    .filter(speaksOfShares)
    .map(valuesInNotes)
    .find((says) => says !== null);
  return note === undefined || note === null
    ? heading
    : [...heading, { about, says: note, from: "note", words: "a line of the notes" }];
}
