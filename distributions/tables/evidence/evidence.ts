/** Where a piece of evidence comes from; numbers prove, words and notes suggest. */
export type EvidenceSource = "numbers" | "heading" | "name" | "note" | "copy";

/** One thing that speaks for a reading: what it is about, what it says, how much it counts, and in words why. */
export interface Evidence<T extends string = string> {
  readonly about: "unit" | "edge" | "values" | "scale" | "quantity";
  readonly says: T;
  readonly from: EvidenceSource;
  readonly words: string;
}

/** What the evidence comes to, with what speaks against it. */
export interface Weighed<T extends string> {
  /** Null where nothing but a name speaks. */
  readonly value: T | null;
  readonly words: string;
  /** Where what leads comes from; null where nothing does. */
  readonly from: EvidenceSource | null;
  /** What says otherwise and is no mere name: a contradiction that must be asked about. */
  readonly against: readonly Evidence<T>[];
  /** What a name seems to say and is not followed. */
  readonly names: readonly Evidence<T>[];
}

/** A copy that Fineband wrote speaks alone; numbers beat words; a word in a name decides nothing. */
const rank: Readonly<Record<EvidenceSource, number>> = { copy: 4, numbers: 3, heading: 2, note: 2, name: 0 };

/** Weighs what speaks for each value; the first named of equal rank leads, and the others of its rank contradict it. */
export function verdictOf<T extends string>(evidence: readonly Evidence<T>[]): Weighed<T> {
  const names = evidence.filter((e) => e.from === "name");
  const firm = evidence.filter((e) => e.from !== "name");
  const lead = firm.reduce<Evidence<T> | null>(
    (best, e) => (best === null || rank[e.from] > rank[best.from] ? e : best),
    null,
  );
  if (lead === null) return { value: null, words: "", from: null, against: [], names };
  const others = firm.filter((e) => e.says !== lead.says);
  return {
    value: lead.says,
    words: lead.words,
    from: lead.from,
    against: lead.from === "copy" ? [] : others,
    names: names.filter((e) => e.says !== lead.says),
  };
}
