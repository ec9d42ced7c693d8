import { computed } from "@preact/signals";
import type { SavedLot } from "#api/records/records.ts";
import { compareAnswer } from "#model/answers/compare/compareAnswer.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import type { Stage } from "#model/lot/stages.ts";
import { overlayRangeUm, overlaySizesUm } from "#model/pictures/overlay.ts";
import { address } from "#ui/data/address.ts";
import { lots } from "#ui/data/entries.ts";
import { belowUm, lot, type SelectedStageRuns, stagesOf } from "#ui/data/selection.ts";

/** A side of the comparison: its lot and the stage of it. */
interface Side extends SelectedStageRuns {
  readonly lot: SavedLot;
}

/** A lot at the stage that is named, else at another, else at its last. */
function sideOf(of: SavedLot, stageName: string | null, otherwise: Stage | null): Side | null {
  const line = stagesOf(of);
  const named = (name: string | null) => line.find((s) => s.stage === name);
  const found = named(stageName) ?? named(otherwise) ?? line.at(-1);
  return found === undefined ? null : { lot: of, ...found };
}

/** The lot compared with: the one in the address, else the one that is looked at. */
export const againstLot = computed(
  () => lots.value.find((l) => l.id === address.value.againstLotId) ?? lot.value,
);

/**
 * The two sides compared. Where the address says nothing it is the lot's last step, as what re-firing made of the milled
 * powder; of two lots the same stage.
 */
export const compared = computed(() => {
  const [first, second] = [againstLot.value, lot.value];
  if (first === null || second === null) return null;
  const b = sideOf(second, address.value.stage, null);
  if (b === null) return null;
  const line = stagesOf(second).map((s) => s.stage);
  const before = line[line.indexOf(b.stage) - 1] ?? line[1] ?? b.stage;
  const a = sideOf(first, address.value.against, first.id === second.id ? before : b.stage);
  return a === null ? null : { a, b };
});

export const comparedSizes = computed(() =>
  overlaySizesUm(
    overlayRangeUm(
      [compared.value?.a.curve ?? null, compared.value?.b.curve ?? null].filter((c) => c !== null),
    ),
  ),
);

/** What changed between the two sides, by volume; null where one of them cannot be turned into volume. */
export const comparison = computed(() => {
  const a = byVolume(compared.value?.a.measurements ?? []).runs ?? [];
  const b = byVolume(compared.value?.b.measurements ?? []).runs ?? [];
  if (a.length === 0 || b.length === 0) return null;
  return compareAnswer(a, b, { belowUm: [...new Set([0.5, belowUm.value, 2])].sort((x, y) => x - y) });
});

/** The mean shift in ln x as a factor on size. */
export const meanFactor = computed(() =>
  comparison.value === null ? null : 1 + comparison.value.meanShiftPercent / 100,
);

/** The same whichever way the powder moved. */
export const movedFactor = computed(() =>
  comparison.value === null ? null : 1 + comparison.value.shiftPercent / 100,
);

/** A side of the comparison in words: its stage, and its lot where the two differ. */
export function sideName(side: Side): string {
  const isOneLot = compared.value?.a.lot.id === compared.value?.b.lot.id;
  return isOneLot ? `${side.stage} powder` : `${side.lot.name} (${side.stage})`;
}
