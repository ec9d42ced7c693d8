import { computed, effect, signal } from "@preact/signals";
import { humpsIn, stagesAnswer } from "#model/answers/compare/stagesAnswer.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { notedMassG } from "#model/lot/notedMass.ts";
import { stepNamed } from "#model/lot/processSteps.ts";
import { fetchCard } from "#ui/data/card.ts";
import { belowUm, density, lot, stageLine } from "#ui/data/selection.ts";
import { stepsOf } from "#ui/data/steps.ts";

type Masses = Readonly<Record<string, number | null>>;
interface MassesOfLot {
  readonly lotId: number;
  readonly grams: Masses;
}
/** As the lot's record has them. */
const notedMasses = signal<MassesOfLot | null>(null);
/** As typed here, to be tried. */
const typedMasses = signal<MassesOfLot | null>(null);

/** Grams of powder at each stage of the lot: as typed, else as noted. */
export const massesG = computed<Masses>(() => {
  const ofLot = (masses: MassesOfLot | null) => (masses?.lotId === lot.value?.id ? masses?.grams : {});
  return { ...ofLot(notedMasses.value), ...ofLot(typedMasses.value) };
});

export function tryMass(stage: string, grams: number | null): void {
  const lotId = lot.value?.id;
  if (lotId === undefined) return;
  const before = typedMasses.value?.lotId === lotId ? typedMasses.value.grams : {};
  typedMasses.value = { lotId, grams: { ...before, [stage]: grams !== null && grams > 0 ? grams : null } };
}

/** Looks up what the record has, and again whenever what is saved changes. */
export function followNotedMasses(): () => void {
  return effect(() => {
    const lotId = lot.value?.id;
    if (lotId === undefined) return;
    fetchCard(lotId).then(
      (card) => {
        const grams = Object.fromEntries(card.stages.map((s) => [s.stage, notedMassG(s)]));
        notedMasses.value = { lotId, grams };
      },
      // Without them the balance counts points alone; what else cannot be reached says so itself.
      () => undefined,
    );
  });
}

/** Stages of the lot that have runs, in the order of the process; the reference powder is no step of it. */
export const measuredStages = computed(() =>
  stageLine.value.filter((s) => s.stage !== "reference" && s.measurements.length > 0),
);

/** Looked for once a lot: fitting mixtures is the slow part. */
const humps = computed(() => new Map(measuredStages.value.map((s) => [s.stage, humpsIn(s.measurements)])));

/** What each step did to the lot; null where there are fewer than two stages. */
export const steps = computed(() => {
  const line = measuredStages.value;
  if (lot.value === null || line.length < 2 || line.some((s) => byVolume(s.measurements).runs === null))
    return null;
  return stagesAnswer(
    line.map((s) => ({
      stage: s.name,
      kind: stepNamed(stepsOf(lot.value?.material ?? ""), s.stage)?.kind ?? null,
      runs: s.measurements,
      massG: massesG.value[s.stage] ?? undefined,
      humps: humps.value.get(s.stage) ?? null,
    })),
    {
      belowUm: [...new Set([0.5, belowUm.value, 2])].sort((x, y) => x - y),
      densityGPerCm3: density.value,
    },
  );
});
