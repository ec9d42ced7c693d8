import { computed, signal } from "@preact/signals";
import { type Priors, usualPriors } from "#model/mill/trials/priors.ts";
import { noteOnly } from "#ui/data/client.ts";
import { loadAll, savedPriors } from "#ui/data/entries.ts";
import { mill } from "#ui/data/mill.ts";

const saved = computed(() => savedPriors.value.find((b) => b.millId === mill.value?.id) ?? null);
/** What is being tried before it is saved; null while it is what is saved. */
const edited = signal<Priors | null>(null);

/** What is assumed of the mill before any trial. */
export const priorsInForce = computed<Priors>(() => edited.value ?? saved.value?.priors ?? usualPriors);
export const arePriorsEdited = computed(() => edited.value !== null);
/** Lots whose re-firing is excluded, by number. */
export const excludedLots = computed<ReadonlySet<number>>(() => new Set(saved.value?.excludedLots ?? []));

export function enterPriors(change: Partial<Priors>): void {
  edited.value = { ...priorsInForce.value, ...change };
}

/** One note after another: each is made from what the one before left. */
let noting: Promise<void> = Promise.resolve();

export function savePriors(): Promise<void> {
  noting = noting.then(() => {
    const sent = edited.value;
    return note(priorsInForce.value, excludedLots.value, () => {
      if (edited.value === sent) edited.value = null;
    });
  });
  return noting;
}

export function includeLot(id: number, counts: boolean): Promise<void> {
  noting = noting.then(() => {
    const next = new Set(excludedLots.value);
    if (counts) next.delete(id);
    else next.add(id);
    return note(saved.value?.priors ?? usualPriors, next, () => undefined);
  });
  return noting;
}

/** @param then  runs once it is saved */
async function note(priors: Priors, excludedLots: ReadonlySet<number>, then: () => void): Promise<void> {
  if (mill.value === null) return;
  const isUsual = JSON.stringify(priors) === JSON.stringify(usualPriors) && excludedLots.size === 0;
  if (isUsual && saved.value === null) return then();
  const body = isUsual ? null : { priors, excludedLots: [...excludedLots] };
  const params = { id: mill.value.id };
  await noteOnly("PUT /api/mills/{id}/belief", { params, body }, saved.value, async () => {
    await loadAll();
    then();
  });
}
