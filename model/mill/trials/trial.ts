/** A mill setting that was tried, and what came out. */
export interface Trial {
  readonly speedRpm: number;
  /** At the wheel; null where it was not noted. */
  readonly gasFlowM3PerH: number | null;
  readonly feedKgPerH: number | null;
  readonly d10Um: number | null;
  readonly d50Um: number;
  readonly d90Um: number | null;
  /** Collected as product, where it was weighed. */
  readonly productKgPerH?: number | null | undefined;
  /** Powder held in the mill, where it was weighed. */
  readonly holdUpKg?: number | null | undefined;
}
