import { zip } from "#distributions/lists.ts";

/** Between which undersize shares (0..1) a curve must lie at each size, sizes rising. */
export interface Envelope {
  readonly sizesUm: readonly number[];
  readonly lowShares: readonly number[];
  readonly highShares: readonly number[];
}

/** What an envelope allows at one of its sizes: undersize shares. */
export interface EnvelopeSize {
  readonly sizeUm: number;
  readonly low: number;
  readonly high: number;
}

/** The sizes of an envelope, rising. @throws RangeError  lists of different length */
export function sizesOf({ sizesUm, lowShares, highShares }: Envelope): readonly EnvelopeSize[] {
  return zip(zip(sizesUm, lowShares), highShares).map(([[sizeUm, low], high]) => ({ sizeUm, low, high }));
}
