import { computed, signal } from "@preact/signals";
import type { NamedMeasurement } from "#distributions/measured.ts";
import { decode } from "#distributions/tables/decode.ts";
import type { ReadingOptions } from "#distributions/tables/readingOptions.ts";
import { readTable } from "#distributions/tables/readTable.ts";

/** A table on its way in: its text, its name and the answers given so far. */
export interface Incoming {
  readonly file: string | null;
  readonly text: string;
  readonly options: ReadingOptions;
}

export const isOpen = signal(false);
export const incoming = signal<Incoming>({ file: null, text: "", options: {} });

/** How the table reads with the answers given so far. */
export const reading = computed(() =>
  incoming.value.text.trim() === ""
    ? null
    : readTable(incoming.value.text, incoming.value.file, incoming.value.options),
);

/** Measurements that are looked at without being kept; null when the page shows what is kept. */
export const looking = signal<readonly NamedMeasurement[] | null>(null);

/** Takes a pasted text or a file's bytes; old answers do not carry over to another table. */
export function take(text: string, file: string | null): void {
  incoming.value = { file, text, options: {} };
  isOpen.value = true;
  showIfReadable();
}

export async function takeFile(file: File): Promise<void> {
  take(decode(new Uint8Array(await file.arrayBuffer())).text, file.name);
}

export function answer(change: ReadingOptions): void {
  incoming.value = { ...incoming.value, options: { ...incoming.value.options, ...change } };
  showIfReadable();
}

export function stopLooking(): void {
  looking.value = null;
  incoming.value = { file: null, text: "", options: {} };
  isOpen.value = false;
}

function showIfReadable(): void {
  const found = reading.value?.measurements ?? [];
  looking.value = found.length > 0 ? found : null;
}
