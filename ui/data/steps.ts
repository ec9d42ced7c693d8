import { computed, signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import type { SavedLot, SavedMaterial } from "#api/records/records.ts";
import { isSameMaterial } from "#model/lot/material.ts";
import { inProcessOrder, type ProcessStep, stageName, usualSteps } from "#model/lot/processSteps.ts";
import { type Stage, stages } from "#model/lot/stages.ts";
import { ask, changeEntry, fetchBeside } from "./client.ts";
import { loadAll, lots } from "./entries.ts";

/** The materials, from when something that shows their steps is looked at; asked for anew with every change. */
const materials = signal<{
  readonly of: unknown;
  readonly all: readonly SavedMaterial[];
  readonly isHere: boolean;
}>({
  of: null,
  all: [],
  isHere: false,
});

/** Whether they have come, of before the last change or after. */
export const areStepsHere = computed(() => materials.value.isHere);

/** The saved material of a name; null until it has come, or where there is none. */
export function useMaterial(name: string): SavedMaterial | null {
  const of = lots.value;
  useEffect(() => {
    if (materials.peek().of !== of) {
      materials.value = { ...materials.peek(), of };
      void fetchBeside(async () => {
        const all = (await ask("GET /api/materials", {})).materials;
        materials.value = { of, all, isHere: true };
      }).then(() => {
        // Where they could not be had, that is said, and the usual steps serve.
        materials.value = { ...materials.peek(), isHere: true };
      });
    }
  }, [of]);
  return materials.value.all.find((one) => isSameMaterial(one.name, name)) ?? null;
}

/** Saves what lots of a material go through. */
export function saveSteps(of: SavedMaterial, steps: readonly ProcessStep[]): Promise<boolean> {
  const { id, version, name, densityGPerCm3, bands, note } = of;
  const body = { name, densityGPerCm3, bands: [...bands], note, steps: [...steps] };
  return changeEntry("PUT /api/materials/{id}", { params: { id }, body, version }, loadAll);
}

/** What lots of a material go through, as far as it has come; else the usual. */
export const stepsOf = (name: string): readonly ProcessStep[] =>
  materials.value.all.find((one) => isSameMaterial(one.name, name))?.steps ?? usualSteps;

/** The stages a lot can have: the steps of its material, the usual, and those it has; and what each is called. */
export function useStages(lot: Pick<SavedLot, "material" | "stages"> | null): {
  readonly all: readonly Stage[];
  readonly say: (stage: Stage) => string;
} {
  const steps = useMaterial(lot?.material ?? "")?.steps ?? usualSteps;
  const known = [...steps.map(({ id }) => id), ...stages, ...(lot?.stages ?? []).map(({ stage }) => stage)];
  return {
    all: inProcessOrder(steps, known),
    say: (stage) => lot?.stages.find((one) => one.stage === stage)?.name ?? stageName(steps, stage),
  };
}
