import { computed, signal } from "@preact/signals";
import { type Priors, usualPriors } from "#model/mill/trials/priors.ts";
import { known, noteKnown } from "#ui/data/knownOfMill.ts";
import { mill } from "#ui/data/mill.ts";

/** What is being tried before it is saved; null while it is what is saved. */
const edited = signal<Priors | null>(null);

/** What is assumed of the mill with this material before any trial. */
export const priorsInForce = computed<Priors>(() => edited.value ?? known.value?.priors ?? usualPriors);
export const arePriorsEdited = computed(() => edited.value !== null);
/** Lots whose re-firing is excluded, by number. */
export const excludedLots = computed<ReadonlySet<number>>(() => new Set(known.value?.excludedLots ?? []));

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
    return note(known.value?.priors ?? usualPriors, next, () => undefined);
  });
  return noting;
}

/** @param then  runs once it is saved */
async function note(priors: Priors, excludedLots: ReadonlySet<number>, then: () => void): Promise<void> {
  if (mill.value === null) return;
  const limit = known.value?.grindingLimitUm;
  const isUsual = JSON.stringify(priors) === JSON.stringify(usualPriors) && excludedLots.size === 0;
  if (isUsual && known.value === null) return then();
  const body = { priors, excludedLots: [...excludedLots] };
  await noteKnown(limit === undefined ? body : { ...body, grindingLimitUm: limit }, then);
}
