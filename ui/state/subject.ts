import { computed, signal } from "@preact/signals";
import { type Curve, curveOf, meanCurve, sizeAt } from "#distributions/curve.ts";
import type { NamedMeasurement } from "#distributions/measured.ts";
import { checkAnswer } from "#model/answers/checkAnswer.ts";
import { compareAnswer } from "#model/answers/compareAnswer.ts";
import { surfaceAnswer } from "#model/answers/surfaceAnswer.ts";
import { type OverlayView, overlayRangeUm, overlaySizesUm } from "#model/pictures/overlay.ts";
import { looking } from "./bringIn.ts";
import { bands, lots, measurements, pairs } from "./kept.ts";
import { place } from "./place.ts";

/** The lot that is looked at: the one in the address, else the first. */
export const lot = computed(
  () => lots.value.find((l) => l.id === place.value.lotId) ?? lots.value[0] ?? null,
);

/** Density of the solid of the lot that is looked at. */
export const density = computed(() => lot.value?.densityGPerCm3 ?? null);

/** The stages the lot has, with their runs and median, in the order of the process. */
export const stageLine = computed(() => {
  const current = lot.value;
  if (current === null) return [];
  const all = measurements.value.get(current.id) ?? [];
  return current.stages.map(({ stage, runs }) => {
    const ofStage = all.filter((m) => m.stage === stage);
    const curve = ofStage.length === 0 ? null : meanCurve(ofStage.map((m) => curveOf(m.distribution)));
    return { stage, runs, measurements: ofStage, curve, d50Um: curve === null ? null : sizeAt(curve, 0.5) };
  });
});

/** The stage that is judged: the one in the address, else the last. */
export const stage = computed(
  () => stageLine.value.find((s) => s.stage === place.value.stage) ?? stageLine.value.at(-1) ?? null,
);

/** What is described and checked: a table that is only being looked at, else the runs of the lot's stage. */
export const runs = computed<readonly NamedMeasurement[]>(
  () => looking.value ?? stage.value?.measurements ?? [],
);

export const bandKept = computed(
  () => bands.value.find((b) => b.id === lot.value?.bandId) ?? bands.value[0] ?? null,
);
export const band = computed(() => bandKept.value?.band ?? null);

export const check = computed(() =>
  band.value === null || runs.value.length === 0 ? null : checkAnswer(runs.value, band.value),
);

export const belowUm = signal(1);

export const surface = computed(() =>
  lot.value === null || runs.value.length === 0
    ? null
    : surfaceAnswer(runs.value, {
        densityGPerCm3: lot.value.densityGPerCm3,
        pairs: pairs.value,
        stage: looking.value === null ? (stage.value?.stage ?? "re-fired") : "re-fired",
      }),
);

export const productCurve = computed<Curve | null>(() =>
  runs.value.length === 0 ? null : meanCurve(runs.value.map((m) => curveOf(m.distribution))),
);

export const overlayView = signal<OverlayView>("undersize");

/** The other stages of the lot, drawn thin beside the product. */
export const otherStages = computed(() =>
  stageLine.value.filter(
    (s) => s.curve !== null && (looking.value !== null || s.stage !== stage.value?.stage),
  ),
);

export const overlaySizes = computed(() => {
  const curves = [productCurve.value, ...otherStages.value.map((s) => s.curve)].filter((c) => c !== null);
  return overlaySizesUm(overlayRangeUm(curves));
});

/** The two stages compared: the first firing with after milling when the address says nothing. */
export const comparedStages = computed(() => {
  const line = stageLine.value;
  const named = (name: string | null) => line.find((s) => s.stage === name);
  const a = named(place.value.against) ?? named("fired") ?? line[0];
  const b = named(place.value.stage) ?? named("milled") ?? line.at(-1);
  return a === undefined || b === undefined ? null : { a, b };
});

export const comparison = computed(() => {
  const pair = comparedStages.value;
  return pair === null || pair.a.measurements.length === 0 || pair.b.measurements.length === 0
    ? null
    : compareAnswer(pair.a.measurements, pair.b.measurements, {
        belowUm: [...new Set([0.5, belowUm.value, 2])].sort((x, y) => x - y),
      });
});
