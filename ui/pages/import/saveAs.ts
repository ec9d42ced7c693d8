import { signal } from "@preact/signals";
import { stagesSpokenOf } from "#model/lot/processSteps.ts";
import type { Stage } from "#model/lot/stages.ts";
import { lots } from "#ui/data/entries.ts";
import { type Incoming, lookingStage } from "#ui/data/incoming.ts";
import { readable, readingOf } from "#ui/data/readTables.ts";
import { lot } from "#ui/data/selection.ts";
import { stepsOf } from "#ui/data/steps.ts";

// What a table would be kept as, which is what it is judged as meanwhile.

/**
 * The stages that a table's file name speaks of, as the material of the lot it is saved in calls them or as usual, or else its measurements' names, where every one of them tells.
 */
export function stagesSpoken(table: Incoming): readonly Stage[] {
  const into = lots.value.find(({ id }) => id === lotChosen.value) ?? lot.value;
  const steps = stepsOf(into?.material ?? "");
  const byFile = stagesSpokenOf(steps, [table.file ?? ""]);
  if (byFile.length > 0) return byFile;
  const names = (readingOf(table)?.measurements ?? []).map((m) => m.name);
  return names.every((name) => stagesSpokenOf(steps, [name]).length > 0) ? stagesSpokenOf(steps, names) : [];
}

/** The stage and the lot that were chosen to keep them as; null until one is. */
export const stageChosen = signal<Stage | null>(null);
export const lotChosen = signal<number | null>(null);

/** The stage a table is judged and kept as: the one told, else the one that is compared with a reference. */
export function stageFor(table: Incoming): Stage {
  return stageTold(table) ?? "re-fired";
}

/** The stage that was chosen, else the table's own, else the only one that any table here tells; null where none does. */
export function stageTold(table: Incoming): Stage | null {
  const [own] = stagesSpoken(table);
  const all = [...new Set(readable.value.flatMap(stagesSpoken))];
  return stageChosen.value ?? own ?? (all.length === 1 ? (all[0] ?? null) : null);
}

export function chooseStage(stage: Stage): void {
  stageChosen.value = stage;
  lookingStage.value = stage;
}

export function chooseLot(id: number): void {
  lotChosen.value = id;
}

/** Choices for one set of tables do not carry over to another. */
export function forgetChoices(): void {
  stageChosen.value = null;
  lotChosen.value = null;
}
