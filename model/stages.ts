/** The stages a lot goes through, in order, and the bought powder it is held against. */
export const stages = ["precursor", "fired", "crushed", "milled", "re-fired", "reference"] as const;

export type Stage = (typeof stages)[number];
