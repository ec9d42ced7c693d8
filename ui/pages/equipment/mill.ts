import { computed } from "@preact/signals";
import { mills } from "#ui/data/entries.ts";

/** The classifier mill that is planned with; null while none is saved. */
export const mill = computed(() => mills.value[0] ?? null);
