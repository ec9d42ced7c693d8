import type { SavedLot } from "#api/records/records.ts";
import { unseenSentence } from "#model/answers/surface/predictedBetWords.ts";
import type { Stage } from "#model/lot/stages.ts";
import { unseenFines } from "#model/surface/unseenFines.ts";
import { measurements } from "#ui/data/entries.ts";

/** What fines below the measured range may add to the area of a stage, as a sentence: it takes the fits, so it comes with what stands below. */
export function unseenAreaOf(lot: SavedLot, stage: Stage): string | null {
  const first = (measurements.value.get(lot.id) ?? []).find((m) => m.stage === stage);
  const unseen = first === undefined ? null : unseenFines(first, lot.densityGPerCm3);
  return unseen === null ? null : unseenSentence(unseen);
}
