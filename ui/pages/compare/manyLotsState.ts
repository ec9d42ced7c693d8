import { computed, signal } from "@preact/signals";
import { airClassificationAnswer, blendAnswer, type NamedLot } from "#model/answers/compare/blendAnswer.ts";
import { lots } from "#ui/data/entries.ts";
import { teachers } from "#ui/data/ground.ts";
import { band, lot, runs, stage, stagesOf } from "#ui/data/selection.ts";

/** Whether the trials of thought are open: they are slow enough not to be worked out unseen. */
export const areTrialsOpen = signal(false);

/** The lots that teach about the stage looked at; the lot looked at first. */
export const peers = computed<readonly (NamedLot & { readonly id: number })[]>(() =>
  [lot.value?.id, ...teachers.value.map(({ lotId }) => lotId)].flatMap((id) => {
    const saved = lots.value.find((l) => l.id === id) ?? null;
    const own = stagesOf(saved).find((s) => s.stage === stage.value?.stage);
    return saved === null || own === undefined || own.measurements.length === 0
      ? []
      : [{ id: saved.id, name: saved.name, runs: own.measurements }];
  }),
);

/** Lots ticked for the mix; null until one is ticked or not, then the first four. */
const ticked = signal<ReadonlySet<number> | null>(null);
export const maxInMix = 4;
export const inMix = computed(() => ticked.value ?? new Set(peers.value.slice(0, maxInMix).map((p) => p.id)));

export function tick(id: number, isIn: boolean): void {
  const next = new Set(inMix.value);
  if (isIn) next.add(id);
  else next.delete(id);
  ticked.value = next;
}

export const blend = computed(() => {
  const chosen = peers.value.filter((p) => inMix.value.has(p.id));
  const fits = chosen.length >= 2 && chosen.length <= maxInMix;
  return areTrialsOpen.value && band.value !== null && fits ? blendAnswer(chosen, band.value) : null;
});

export const airCut = signal<"fines" | "coarse">("coarse");
export const cutUm = signal<number | null>(null);
export const sharpness = signal(0.6);

export const airClassified = computed(() =>
  areTrialsOpen.value && cutUm.value !== null && runs.value.length > 0
    ? airClassificationAnswer(runs.value, {
        cut: airCut.value,
        atUm: cutUm.value,
        sharpness: sharpness.value,
        ...(band.value === null ? {} : { band: band.value }),
      })
    : null,
);
