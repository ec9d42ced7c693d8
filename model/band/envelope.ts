/** Between which undersize shares (0..1) a curve must lie at each size, sizes rising. */
export interface Envelope {
  readonly sizesUm: readonly number[];
  readonly lowShares: readonly number[];
  readonly highShares: readonly number[];
}
