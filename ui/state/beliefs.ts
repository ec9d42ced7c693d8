import { signal } from "@preact/signals";
import { type Priors, usualPriors } from "#model/mill/trials/priors.ts";

/** What is believed before any trial, until the reader says otherwise; for this visit. */
export const believed = signal<Priors>(usualPriors);

export function believe(change: Partial<Priors>): void {
  believed.value = { ...believed.value, ...change };
}
