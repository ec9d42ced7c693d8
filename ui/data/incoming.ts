import { computed, signal } from "@preact/signals";
import type { Problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import type { Stage } from "#model/lot/stages.ts";

// What is on its way in, apart from how it is read: every page looks here, and the reader is fetched only when it is needed.

/** A table on its way in: its text or bytes, its name and the answers given so far. */
export interface Incoming {
  readonly file: string | null;
  readonly text: string;
  /** As received, so that another encoding can be tried; null for text that was pasted. */
  readonly bytes: Uint8Array | null;
  readonly options: ReadingOptions;
  /** Why the file could not be opened at all. */
  readonly fault: Problem | null;
}

export const nothing: Incoming = { file: null, text: "", bytes: null, options: {}, fault: null };

export const isImportOpen = signal(false);
/** Every table on its way in: one that was pasted, or the files that were dropped together. */
export const tables = signal<readonly Incoming[]>([]);
/** Which of them is looked at. */
export const chosen = signal(0);
export const incoming = computed(() => tables.value[chosen.value] ?? nothing);

/** Whether what comes in is a table of the lab's own, of settings and results, and no curves. */
export const isLabTable = signal(false);

/** Opens the panel with a table of the lab's own. */
export function bringLabTable(text: string): void {
  tables.value = [{ ...nothing, text }];
  chosen.value = 0;
  isLabTable.value = true;
  isImportOpen.value = true;
}

/** Measurements that are looked at without being saved; null when the page shows what is saved. */
export const looking = signal<readonly NamedMeasurement[] | null>(null);

/** The stage they would be saved as; null where nothing is looked at. */
export const lookingStage = signal<Stage | null>(null);

/** How many measurements the table holds; of a large one the first alone is looked at. */
export const readCount = signal(0);

/** Puts the panel away. What is in it stays until it is saved or another table comes. */
export function stopLooking(): void {
  looking.value = null;
  lookingStage.value = null;
  isLabTable.value = false;
  isImportOpen.value = false;
}
