import type { Block } from "#distributions/tables/layout/block.ts";
import { edgeOf } from "#distributions/tables/text/claims.ts";
import type { EdgeOption } from "#distributions/tables/text/readingOptions.ts";
import { edgeInNotes, saysMid, speaksOfShares } from "#distributions/tables/text/words.ts";
import type { Evidence } from "./evidence.ts";

/** Which edge of its class a size is, as the heading of the sizes, the notes, and what stands beside the shares tell. */
export function edgeEvidence(
  block: Block,
  isPhi: boolean,
  shownEdge: Block["edge"] | null,
): Evidence<EdgeOption>[] {
  const about = "edge" as const;
  const evidence: Evidence<EdgeOption>[] = [];
  const inHeading = isPhi ? midOnly(edgeOf(block.sizeHeading)) : edgeOf(block.sizeHeading);
  if (inHeading !== null)
    evidence.push({
      about,
      says: inHeading,
      from: "heading",
      words: `the word in the heading "${block.sizeHeading}"`,
    });
  const inNotes = block.notes
    .filter((line) => speaksOfShares(line) || /\bsizes?\b/i.test(line))
    .map(edgeInNotes)
    .find((says) => says !== null);
  if (inNotes !== undefined && inNotes !== null)
    evidence.push({ about, says: inNotes, from: "note", words: "a line of the notes" });
  // A column of mids is no column of edges, whatever stands beside the shares.
  if (evidence.length === 0 && saysMid(block.sizeHeading)) return [];
  for (const shown of [block.edge, shownEdge])
    if (shown !== undefined && shown !== null)
      evidence.push({ about, says: shown.edge, from: "note", words: shown.why });
  return evidence;
}

/** In phi the larger number is the smaller size, so upper and lower can mean either; mids stay mids. */
function midOnly(edge: EdgeOption | null): EdgeOption | null {
  return edge === "upper" || edge === "lower" ? null : edge === "arithmetic-mid" ? "geometric-mid" : edge;
}
