import { computed, signal } from "@preact/signals";
import { type Priors, usualPriors } from "#model/mill/trials/priors.ts";
import { noteOnly } from "#ui/data/client.ts";
import { loadAll, savedPriors } from "#ui/data/entries.ts";
import { mill } from "./wheelEntries.ts";

const kept = computed(() => savedPriors.value.find((b) => b.millId === mill.value?.id) ?? null);
/** What is being tried before it is kept; null while it is what is kept. */
const edited = signal<Priors | null>(null);

/** What is believed of the mill before any trial. */
export const priorsInForce = computed<Priors>(() => edited.value ?? kept.value?.priors ?? usualPriors);
export const arePriorsEdited = computed(() => edited.value !== null);
/** Lots whose re-firing is not to be counted, by number. */
export const leftOut = computed<ReadonlySet<number>>(() => new Set(kept.value?.excludedLots ?? []));

export function enterPriors(change: Partial<Priors>): void {
  edited.value = { ...priorsInForce.value, ...change };
}

/** One note after another: each is made from what the one before left. */
let noting: Promise<void> = Promise.resolve();

export function savePriors(): Promise<void> {
  noting = noting.then(() => {
    const sent = edited.value;
    return note(priorsInForce.value, leftOut.value, () => {
      if (edited.value === sent) edited.value = null;
    });
  });
  return noting;
}

export function countLot(id: number, counts: boolean): Promise<void> {
  noting = noting.then(() => {
    const next = new Set(leftOut.value);
    if (counts) next.delete(id);
    else next.add(id);
    return note(kept.value?.priors ?? usualPriors, next, () => undefined);
  });
  return noting;
}

/** @param then  runs once it is kept */
async function note(priors: Priors, excludedLots: ReadonlySet<number>, then: () => void): Promise<void> {
  if (mill.value === null) return;
  const isUsual = JSON.stringify(priors) === JSON.stringify(usualPriors) && excludedLots.size === 0;
  if (isUsual && kept.value === null) return then();
  const body = isUsual ? null : { priors, excludedLots: [...excludedLots] };
  const params = { id: mill.value.id };
  await noteOnly("PUT /api/mills/{id}/belief", { params, body }, kept.value, async () => {
    await loadAll();
    then();
  });
}
