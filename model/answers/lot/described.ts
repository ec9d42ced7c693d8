import type { InClass, Quantity } from "#distributions/sizeDistribution.ts";

/** Every number of one run. */
export interface Described {
  readonly file: string | null;
  readonly name: string;
  readonly quantity: Quantity;
  readonly inClass: InClass;
  readonly lowerUm: readonly number[];
  readonly upperUm: readonly number[];
  readonly shares: readonly number[];
  readonly belowShare: number;
  readonly aboveShare: number;
  readonly percentilesUm: Readonly<Record<string, number | null>>;
  readonly meansUm: {
    readonly "4,3": number | null;
    readonly "3,2": number | null;
    readonly "1,0": number | null;
  };
  readonly arithmeticMeanUm: number | null;
  readonly geometricMeanUm: number | null;
  readonly standardDeviationUm: number | null;
  readonly span: number | null;
  readonly surfaceM2PerG: number | null;
  readonly surfaceIsLowerBound: boolean;
  /** Share of the particle number that the finest two filled classes hold; left out where the number itself was measured, or cannot be had. */
  readonly numberInFinestTwo?: number;
}
