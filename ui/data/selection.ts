import { computed, effect, signal } from "@preact/signals";
import type { SavedBand, SavedLot, SavedPair } from "#api/records/records.ts";
import { type Curve, curveOf, meanCurve, sizeAt } from "#distributions/curve.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { checkAnswer } from "#model/answers/lot/checkAnswer.ts";
import type { ReleaseAnswer } from "#model/answers/lot/releaseAnswer.ts";
import { verdictWords } from "#model/answers/lot/verdictSentence.ts";
import { rowKey } from "#model/band/limits.ts";
import { stageGap } from "#model/band/stageGap.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { bandIdFor, ofMaterial, pairsFor } from "#model/lot/material.ts";
import type { Stage } from "#model/lot/stages.ts";
import { bandRangeUm, type OverlayView, overlaySizesUm } from "#model/pictures/overlay.ts";
import { address } from "./address.ts";
import { bands, isLoaded, lots, lotToLookAt, measurements, pairs } from "./entries.ts";
import { incoming, isImportOpen, looking, lookingStage } from "./incoming.ts";
import { lastPlace, rememberPlace } from "./lastPlace.ts";

/** The lot that is looked at. */
export const lot = computed(() => lotToLookAt(lots.value));

/** Density of the solid of the lot that is looked at. */
export const density = computed(() => lot.value?.densityGPerCm3 ?? null);

export interface SelectedStageRuns {
  readonly stage: Stage;
  /** What the material calls it. */
  readonly name: string;
  readonly runs: number;
  readonly measurements: readonly NamedMeasurement[];
  /** Their mean by volume; null where they cannot be turned into volume. */
  readonly curve: Curve | null;
  readonly d50Um: number | null;
}

/** The mean curve of runs by volume, as bands and pictures take it; null where there is none. */
function volumeCurve(of: readonly NamedMeasurement[]): Curve | null {
  const { runs } = byVolume(of);
  return runs === null || runs.length === 0 ? null : meanCurve(runs.map((m) => curveOf(m.distribution)));
}

/** The stages a lot has, with their runs and median by volume, in the order of the process. */
export function stagesOf(of: SavedLot | null): SelectedStageRuns[] {
  if (of === null) return [];
  const all = measurements.value.get(of.id) ?? [];
  return of.stages.map(({ stage, runs, name = stage }) => {
    const ofStage = all.filter((m) => m.stage === stage);
    const curve = volumeCurve(ofStage);
    return {
      stage,
      name,
      runs,
      measurements: ofStage,
      curve,
      d50Um: curve === null ? null : sizeAt(curve, 0.5),
    };
  });
}

export const stageLine = computed(() => stagesOf(lot.value));

/** The stage that is judged: the one in the address, or looked at last where that says nothing, else the furthest. */
export const stage = computed(() => {
  const last =
    address.value.lotId === null && lot.value?.id === lastPlace.value?.lotId ? lastPlace.value : null;
  const wanted = address.value.stage ?? last?.stage;
  return stageLine.value.find((s) => s.stage === wanted) ?? stageLine.value.at(-1) ?? null;
});

/** Remembers what is looked at, for the next bare address. */
export function followLastPlace(): void {
  effect(() => {
    if (!isLoaded.value || lot.value === null) return;
    const { id, material: of } = lot.value;
    rememberPlace({ lotId: id, stage: stage.value?.stage ?? "", material: of });
  });
}

/** What is described and checked: a table that is only being looked at, else the runs of the lot's stage. */
export const runs = computed<readonly NamedMeasurement[]>(
  () => looking.value ?? stage.value?.measurements ?? [],
);

/** A table was brought in, but it waits for an answer or was refused: what is shown is not about it. */
export const isTableWaiting = computed(
  () =>
    isImportOpen.value &&
    (incoming.value.text.trim() !== "" || incoming.value.bytes !== null) &&
    looking.value === null,
);

/** The material of the lot that is looked at; null without a lot. */
export const material = computed(() => lot.value?.material ?? null);

/** The lots of the material of the lot that is looked at, as far as they are listed. What is learned from which of them, ground.ts says. */
export const ownLots = computed(() =>
  material.value === null ? [] : ofMaterial(lots.value, material.value),
);

/** The BET pairs that hold for a material; none without one. */
export function ownPairs(of: string | null): readonly SavedPair[] {
  return of === null
    ? []
    : pairsFor(
        pairs.value,
        of,
        lots.value.map((each) => each.material),
      );
}

/** The stage to open a lot at once a table was saved in it: its band's where the lot has that, else the furthest (null). */
export function stageToOpen(lotId: number): Stage | null {
  const saved = lots.value.find((l) => l.id === lotId) ?? null;
  const wanted = bandFor(saved)?.band.stage;
  return saved?.stages.find((s) => s.stage === wanted)?.stage ?? null;
}

const bandWithId = (id: number | null) => bands.value.find((b) => b.id === id);

/** The band a lot is held against: its own, else its material's; without a lot the only band there is. */
export function bandFor(lot: SavedLot | null): SavedBand | null {
  const ids = bands.value.map((b) => b.id);
  if (lot === null) return bands.value.length === 1 ? (bands.value[0] ?? null) : null;
  return bandWithId(bandIdFor(lot, lots.value, ids)) ?? null;
}

/** The band in the address, else the lot's. */
export const savedBand = computed(() => bandWithId(address.value.bandId) ?? bandFor(lot.value));

/** Run-to-run standard deviations agreed for a limit while looking; keeping them is done on the shelf. */
export const agreedSd = signal<Readonly<Record<string, number | null>>>({});

export const band = computed(() => {
  const saved = savedBand.value?.band ?? null;
  if (saved === null) return null;
  const rows = saved.rows.map((row) => {
    const sd = agreedSd.value[rowKey(row)] ?? row.repeatabilitySd;
    return sd === undefined ? row : { ...row, repeatabilitySd: sd };
  });
  return { ...saved, rows };
});

/** How likely the lot conforms; null until it is worked out, beside the page. */
export const release = signal<ReleaseAnswer | null>(null);

export const check = computed(() =>
  band.value === null || runs.value.length === 0
    ? null
    : checkAnswer(runs.value, band.value, { release: release.value }),
);

/** The stage that the runs are taken to be of. */
export const stageJudged = computed(() =>
  looking.value === null ? (stage.value?.stage ?? null) : lookingStage.value,
);

/** Why a verdict is not final: the runs are of another stage than the band. */
export const gap = computed(() => stageGap(stageJudged.value, band.value?.stage ?? ""));

export const checkedWords = computed(() =>
  check.value === null ? null : verdictWords(check.value, gap.value),
);

export const belowUm = signal(1);

/** The mean curve of the runs in the quantity they were measured in. */
export const productCurve = computed<Curve | null>(() =>
  runs.value.length === 0 ? null : meanCurve(runs.value.map((m) => curveOf(m.distribution))),
);

/** The same by volume, as a band sees it; null where the runs cannot be turned into volume. */
export const productByVolume = computed<Curve | null>(() => volumeCurve(runs.value));

export const overlayView = signal<OverlayView>("undersize");

/** The other stages of the lot, drawn thin beside the product. */
export const otherStages = computed(() =>
  stageLine.value.filter(
    (s) => s.curve !== null && (looking.value !== null || s.stage !== stage.value?.stage),
  ),
);

export const overlaySizes = computed(() =>
  overlaySizesUm(bandRangeUm(productByVolume.value, band.value?.envelope ?? null)),
);

/**
 * The sizes at which the picture of the moment is drawn. A slope is drawn at the mids of the classes measured, since
 * between two edges nothing is known of it and finer steps would only show stairs.
 */
export const pictureSizes = computed(() => {
  const first = runs.value[0]?.distribution;
  if (overlayView.value === "undersize" || first === undefined) return overlaySizes.value;
  return first.lowerUm.map((lower, i) => Math.sqrt(lower * (first.upperUm[i] ?? lower)));
});
