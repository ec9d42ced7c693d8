import { computed } from "@preact/signals";
import { againstAnswer } from "#model/answers/compare/againstAnswer.ts";
import { address, goTo, manyOf } from "#ui/data/address.ts";
import { areRunsHere, lots } from "#ui/data/entries.ts";
import { isTaught, teachers } from "#ui/data/ground.ts";
import { lot, type SelectedStageRuns, stage, stagesOf } from "#ui/data/selection.ts";

/** A stage of a lot on its way into the comparison. */
export interface Compared {
  readonly lotId: number;
  readonly stage: string;
  readonly name: string;
  readonly of: SelectedStageRuns;
}

/** With the reference. */
const maxCompared = 20;
/** So many others stand there until some are chosen: room is left to add to them. */
const othersAtFirst = 9;

function found(lotId: number, stageName: string): Compared | null {
  const saved = lots.value.find((l) => l.id === lotId) ?? null;
  const of = stagesOf(saved).find((s) => s.stage === stageName);
  if (saved === null || of === undefined || of.measurements.length === 0 || of.curve === null) return null;
  const isShared = lots.value.some((l) => l.name === saved.name && l.id !== lotId);
  return { lotId, stage: stageName, name: `${saved.name}${isShared ? ` (${lotId})` : ""}, ${stageName}`, of };
}

/** What the others are compared with: the lot and stage selected. */
export const reference = computed(() =>
  lot.value === null || stage.value === null ? null : found(lot.value.id, stage.value.stage),
);

const isSame = (a: { lotId: number; stage: string }, b: { lotId: number; stage: string } | null) =>
  a.lotId === b?.lotId && a.stage === b.stage;

/** Those that were chosen; else the same stage of the newest other lots of the material: another powder is another size. */
const chosen = computed<readonly Compared[]>(() => {
  const isAtFirst = address.value.many === null;
  const named = isAtFirst
    ? teachers.value.toReversed().map(({ lotId }) => ({ lotId, stage: stage.value?.stage ?? "" }))
    : manyOf(address.value.many);
  return named
    .filter((one) => !isSame(one, reference.value))
    .flatMap((one) => found(one.lotId, one.stage) ?? [])
    .slice(0, isAtFirst ? othersAtFirst : maxCompared - 1);
});

/** Whether the runs of some of them are still to come. */
export const isWaiting = computed(() =>
  address.value.many === null
    ? !isTaught.value
    : !areRunsHere(manyOf(address.value.many).map(({ lotId }) => lotId)),
);

/** Whether a lot stands in the comparison already, with any of its stages. */
export function isCompared(lotId: number): boolean {
  return [reference.value, ...chosen.value].some((one) => one?.lotId === lotId);
}

export const isFull = computed(() => chosen.value.length >= maxCompared - 1);

function choose(next: readonly { readonly lotId: number; readonly stage: string }[]): void {
  goTo({ page: "compare", many: next.map((c) => `${c.lotId}:${c.stage}`).join(",") || "none" });
}

export function add(lotId: number, stageName: string): void {
  const one = { lotId, stage: stageName };
  if (!chosen.value.some((c) => isSame(c, one)) && !isFull.value) choose([...chosen.value, one]);
}

export function removeCompared(one: Compared): void {
  choose(chosen.value.filter((c) => !isSame(c, one)));
}

/** The chosen against the reference, the nearest first; null where there is nothing to compare. */
export const many = computed(() => {
  const first = reference.value;
  if (first === null || chosen.value.length === 0) return null;
  const answer = againstAnswer(
    [first, ...chosen.value].map(({ name, of }) => ({ name, runs: of.measurements })),
  );
  const others = answer.others.flatMap((o) => {
    const of = chosen.value.find((c) => c.name === o.name);
    return of === undefined ? [] : [{ ...o, of }];
  });
  const curves = [first, ...chosen.value].flatMap((c) => c.of.curve ?? []);
  return { answer, others, curves };
});
