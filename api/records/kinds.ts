import { bodyOf } from "./bodies.ts";
import type { Bodies, EntryKind } from "./records.ts";

/** What the store must know of a kind of entry. */
interface KindRules<B> {
  /** Checks a body that was written down, and puts its fields in their order. @throws when it is none */
  readonly read: (value: unknown) => B;
  /** The entry it belongs to. */
  readonly parent: (body: B) => number | null;
  readonly part: (body: B) => string;
  /** How the trail and a search name it. */
  readonly title: (body: B) => string;
  readonly words: (body: B) => string;
}

const alone = { parent: () => null, part: () => "", words: () => "" };

/** Every kind of entry, in an order in which each only refers to those before it. */
export const kinds: { readonly [K in EntryKind]: KindRules<Bodies[K]> } = {
  band: { ...alone, read: bodyOf.band, title: (b) => `band "${b.name}"` },
  mill: { ...alone, read: bodyOf.mill, title: (b) => `mill "${b.name}"` },
  lot: {
    ...alone,
    read: bodyOf.lot,
    title: (b) => `lot "${b.name}"`,
    words: (b) => `${b.name}\n${b.material}\n${b.note}`.toLowerCase(),
  },
  import: {
    ...alone,
    read: bodyOf.import,
    parent: (b) => b.lotId,
    title: (b) => `table ${b.file ?? "as pasted"}`,
  },
  measurement: {
    ...alone,
    read: bodyOf.measurement,
    parent: (b) => b.lotId,
    part: (b) => (b.asideBecause === null ? b.stage : ""),
    title: (b) => `"${b.name}" (${b.stage})`,
  },
  trial: {
    ...alone,
    read: bodyOf.trial,
    parent: (b) => b.millId,
    title: (b) => `trial "${b.name}"`,
  },
  pair: {
    ...alone,
    read: bodyOf.pair,
    title: (b) => `pair of ${b.stage}, ${b.geometricM2PerG} and ${b.betM2PerG} m²/g`,
  },
  belief: {
    ...alone,
    read: bodyOf.belief,
    parent: (b) => b.millId,
    title: () => "what is believed before trials",
  },
  pressureMill: {
    ...alone,
    read: bodyOf.pressureMill,
    title: (b) => `mill without a wheel "${b.name}"`,
  },
  balance: { ...alone, read: bodyOf.balance, title: (b) => `stream balance "${b.name}"` },
  batch: {
    ...alone,
    read: bodyOf.batch,
    parent: (b) => b.lotId,
    part: (b) => b.stage,
    title: (b) => `batch from ${b.stage}`,
  },
  stage: {
    ...alone,
    read: bodyOf.stage,
    parent: (b) => b.lotId,
    part: (b) => b.stage,
    title: (b) => `settings of ${b.stage}`,
  },
  result: {
    ...alone,
    read: bodyOf.result,
    parent: (b) => b.lotId,
    title: (b) => `${b.name} ${b.value} ${b.unit}`.trim(),
  },
  frozen: {
    ...alone,
    read: bodyOf.frozen,
    parent: (b) => b.lotId,
    title: (b) => `frozen answer "${b.name}"`,
  },
};

export const kindNames: readonly EntryKind[] = [
  "band",
  "mill",
  "lot",
  "import",
  "measurement",
  "stage",
  "result",
  "batch",
  "trial",
  "belief",
  "pressureMill",
  "balance",
  "pair",
  "frozen",
];

/** @throws Error  the text names no kind of entry */
export function kindOf(text: string): EntryKind {
  const kind = kindNames.find((known) => known === text);
  if (kind === undefined) throw new Error(`There is no kind of entry ${text}.`);
  return kind;
}
