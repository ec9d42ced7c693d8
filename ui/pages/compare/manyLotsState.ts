import { computed, signal } from "@preact/signals";
import type { SavedLot } from "#api/records/records.ts";
import { airClassificationAnswer, blendAnswer, type NamedLot } from "#model/answers/compare/blendAnswer.ts";
import { ofMaterial } from "#model/lot/material.ts";
import { fetchRuns, lots } from "#ui/data/entries.ts";
import { band, lot, runs, stage, stagesOf } from "#ui/data/selection.ts";

/** Whether the trials of thought are open: they are slow enough not to be worked out unseen. */
export const areTrialsOpen = signal(false);

/** Powder that is gone: it went into another lot, or away. */
const gone = new Set<string>(["reworked into", "blended into", "scrapped"]);
/** Powder that waits for a decision. */
const isWaiting = (state: SavedLot["state"]) =>
  state === undefined || state.name === "open" || state.name === "on hold";

interface Mixable extends NamedLot {
  readonly id: number;
  /** Where the lot stands; "open" where nothing was said. */
  readonly state: string;
  readonly isWaiting: boolean;
}

/** The lots of the material whose powder is still there; the lot looked at first, then those that wait for a decision. */
const mixableLots = computed(() => {
  const first = lot.value;
  if (first === null) return [];
  const others = ofMaterial(lots.value, first.material)
    .filter(({ id, state, stages }) => id !== first.id && !isGone(state) && stages.some(isJudged))
    .toSorted((a, b) => Number(isWaiting(b.state)) - Number(isWaiting(a.state)));
  return [first, ...others];
});
const isGone = (state: SavedLot["state"]) => state !== undefined && gone.has(state.name);
const isJudged = (of: { readonly stage: string }) => of.stage === stage.value?.stage;

/** Fetches the runs of the lots that could be mixed. */
export const fetchMixable = () => fetchRuns(mixableLots.value.map(({ id }) => id));

/** Those whose runs of the stage are here. */
export const peers = computed<readonly Mixable[]>(() =>
  mixableLots.value.flatMap((saved) => {
    const own = stagesOf(saved).find(isJudged);
    if (own === undefined || own.measurements.length === 0) return [];
    const state = saved.state?.name ?? "open";
    return [
      { id: saved.id, name: saved.name, runs: own.measurements, state, isWaiting: isWaiting(saved.state) },
    ];
  }),
);

/** Lots ticked for the mix; null until one is ticked or not, then the lot looked at and the first that wait. */
const ticked = signal<ReadonlySet<number> | null>(null);
const tickedAtFirst = 4;
export const inMix = computed(
  () =>
    ticked.value ??
    new Set(
      peers.value
        .filter((p, i) => i === 0 || p.isWaiting)
        .slice(0, tickedAtFirst)
        .map((p) => p.id),
    ),
);

export function tick(id: number, isIn: boolean): void {
  const next = new Set(inMix.value);
  if (isIn) next.add(id);
  else next.delete(id);
  ticked.value = next;
}

export const shareChoices = ["calculated", "typed"] as const;
export const sharesAre = signal<(typeof shareChoices)[number]>("calculated");
/** Typed shares in per cent by lot; where none was typed it is none. */
export const typedShares = signal<ReadonlyMap<number, number>>(new Map());
export const typedShare = (id: number): number | null => typedShares.value.get(id) ?? null;

export function typeShare(id: number, percent: number | null): void {
  const next = new Map(typedShares.value);
  if (percent === null) next.delete(id);
  else next.set(id, percent);
  typedShares.value = next;
}

const chosen = computed(() => peers.value.filter((p) => inMix.value.has(p.id)));

export const blend = computed(() => {
  const target = band.value;
  if (!areTrialsOpen.value || target === null || chosen.value.length < 2) return null;
  if (sharesAre.value === "calculated") return blendAnswer(chosen.value, target);
  const mixed = chosen.value.filter(({ id }) => (typedShare(id) ?? 0) > 0);
  const shares = mixed.flatMap(({ id }) => typedShare(id) ?? []);
  return mixed.length === 0 ? null : blendAnswer(mixed, target, shares);
});

/** Begins with the shares that were calculated, to the per cent. */
export function typeShares(choice: (typeof shareChoices)[number]): void {
  if (choice === "typed" && typedShares.value.size === 0)
    typedShares.value = new Map(
      (blend.value?.shares ?? []).flatMap(({ share }, i) => {
        const of = chosen.value[i];
        return of === undefined ? [] : [[of.id, Math.round(100 * share)] as const];
      }),
    );
  sharesAre.value = choice;
}

/** What the shares add to, where they were typed and it is not 100 %. */
export const typedSum = computed(() => {
  const sum = chosen.value.reduce((all, { id }) => all + (typedShare(id) ?? 0), 0);
  return sharesAre.value === "calculated" || Math.abs(sum - 100) < 1e-9 ? null : sum;
});

export const airCut = signal<"fines" | "coarse">("coarse");
export const cutUm = signal<number | null>(null);
export const sharpness = signal(0.6);

export const airClassified = computed(() =>
  areTrialsOpen.value && cutUm.value !== null && runs.value.length > 0
    ? airClassificationAnswer(runs.value, {
        cut: airCut.value,
        atUm: cutUm.value,
        sharpness: sharpness.value,
        ...(band.value === null ? {} : { band: band.value }),
      })
    : null,
);
