import { saysShares, saysSize } from "#distributions/tables/text/words.ts";

const looked = 60;
const longest = 2000;

/**
 * What two tables of the same layout have in common: their lines of headings, with every number left open.
 * Answers given for one can be offered for the next that has the same; empty where a table has no headings.
 */
export function layoutKey(text: string): string {
  const lines = text.split(/\r?\n/, looked);
  const headings = lines.filter((line) => /[a-z]/i.test(line) && (saysSize(line) || saysShares(line)));
  return headings
    .map((line) => line.replace(/\d+/g, "#").trim())
    .join("\n")
    .slice(0, longest);
}
