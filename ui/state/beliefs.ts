import { computed, signal } from "@preact/signals";
import { type Priors, usualPriors } from "#model/mill/trials/priors.ts";
import { beliefs, loadAll } from "./kept.ts";
import { noteOnly } from "./server.ts";
import { mill } from "./wheelEntries.ts";

const kept = computed(() => beliefs.value.find((b) => b.millId === mill.value?.id) ?? null);
/** What is being tried before it is kept; null while it is what is kept. */
const edited = signal<Priors | null>(null);

/** What is believed of the mill before any trial. */
export const believed = computed<Priors>(() => edited.value ?? kept.value?.priors ?? usualPriors);
export const isBeliefEdited = computed(() => edited.value !== null);
/** Lots whose re-firing is not to be counted, by number. */
export const leftOut = computed<ReadonlySet<number>>(() => new Set(kept.value?.leftOutLots ?? []));

export function believe(change: Partial<Priors>): void {
  edited.value = { ...believed.value, ...change };
}

export async function keepBeliefs(): Promise<void> {
  if (await note(believed.value, leftOut.value)) edited.value = null;
}

export function countLot(id: number, counts: boolean): void {
  const next = new Set(leftOut.value);
  if (counts) next.delete(id);
  else next.add(id);
  void note(kept.value?.priors ?? usualPriors, next);
}

async function note(priors: Priors, leftOutLots: ReadonlySet<number>): Promise<boolean> {
  if (mill.value === null) return false;
  const isUsual = JSON.stringify(priors) === JSON.stringify(usualPriors) && leftOutLots.size === 0;
  if (isUsual && kept.value === null) return true;
  const told = isUsual ? null : { priors, leftOutLots: [...leftOutLots] };
  return noteOnly(`api/mills/${mill.value.id}/belief`, told, kept.value, loadAll);
}
