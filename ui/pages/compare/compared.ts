import { computed, signal } from "@preact/signals";
import type { SavedLot } from "#api/records/records.ts";
import { curveOf, meanCurve, sizeAt } from "#distributions/curve.ts";
import { compareAnswer } from "#model/answers/compare/compareAnswer.ts";
import { asFoundByFirst } from "#model/compare/asFoundByFirst.ts";
import { undersizeDifference } from "#model/compare/undersizeDifference.ts";
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

/** The offset by which the second side is corrected, as a person chose it for these two instruments. */
interface Correction {
  readonly first: string;
  readonly second: string;
  /** How much coarser the second instrument finds a size, per cent. */
  readonly percent: number;
}
export const chosenCorrection = signal<Correction | null>(null);

/** The one instrument that all runs of a side name; null where they name none, or several. */
function instrumentOf(side: SelectedStageRuns): string | null {
  const names = new Set(side.measurements.map(({ howMeasured }) => howMeasured?.instrument?.trim() ?? ""));
  const [name = ""] = names;
  return names.size === 1 && name !== "" ? name : null;
}

/** Two instruments behind the two sides, the first side's first; null where it is one, or one is not known. */
export const twoInstruments = computed(() => {
  const pair = saved.value;
  if (pair === null) return null;
  const [first, second] = [instrumentOf(pair.a), instrumentOf(pair.b)];
  if (first === null || second === null || first.toLowerCase() === second.toLowerCase()) return null;
  return { first, second, material: pair.b.lot.material };
});

/** The correction that holds for what is compared now. */
export const correction = computed(() => {
  const [names, chosen] = [twoInstruments.value, chosenCorrection.value];
  return chosen?.first === names?.first && chosen?.second === names?.second ? chosen : null;
});

/**
 * The two sides as saved. Where the address says nothing it is the lot's last step, as what re-firing made of the milled
 * powder; of two lots the same stage.
 */
const saved = computed(() => {
  const [first, second] = [againstLot.value, lot.value];
  if (first === null || second === null) return null;
  const b = sideOf(second, address.value.stage, null);
  if (b === null) return null;
  const line = stagesOf(second).map((s) => s.stage);
  const before = line[line.indexOf(b.stage) - 1] ?? line[1] ?? b.stage;
  const a = sideOf(first, address.value.against, first.id === second.id ? before : b.stage);
  return a === null ? null : { a, b };
});

/** The two sides compared: the second corrected where that was chosen. */
export const compared = computed(() => {
  const [pair, by] = [saved.value, correction.value];
  if (pair === null || by === null) return pair;
  const { runs } = byVolume(pair.b.measurements);
  if (runs === null) return pair;
  const measurements = asFoundByFirst(runs, by.percent);
  const curve = meanCurve(measurements.map(({ distribution }) => curveOf(distribution)));
  return { a: pair.a, b: { ...pair.b, curve, d50Um: sizeAt(curve, 0.5), measurements } };
});

export const comparedSizes = computed(() =>
  overlaySizesUm(
    overlayRangeUm(
      [compared.value?.a.curve ?? null, compared.value?.b.curve ?? null].filter((c) => c !== null),
    ),
  ),
);

/** Runs of both sides by volume. */
const byVolumeOf = (side: Side | undefined) => byVolume(side?.measurements ?? []).runs ?? [];

/** How the undersize of the second differs from the first's at the sizes drawn; null without runs of both. */
export const difference = computed(() => {
  const [a, b] = [byVolumeOf(compared.value?.a), byVolumeOf(compared.value?.b)];
  const curves = (runs: typeof a) => runs.map(({ distribution }) => curveOf(distribution));
  return a.length === 0 || b.length === 0
    ? null
    : undersizeDifference(curves(a), curves(b), comparedSizes.value);
});

/** What changed between the two sides, by volume; null where one of them cannot be turned into volume. */
export const comparison = computed(() => {
  const [a, b] = [byVolumeOf(compared.value?.a), byVolumeOf(compared.value?.b)];
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
