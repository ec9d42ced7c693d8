/** How far repeat runs may scatter at D10, D50 and D90, as coefficients of variation. */
export interface CvLimits {
  readonly d10Percent: number;
  readonly d50Percent: number;
  readonly d90Percent: number;
  /** Below this median the limits are doubled. */
  readonly doubledBelowUm: number | null;
  readonly source: string;
}

export type CvLimitsName = "iso-13320" | "usp-429";

export const cvLimitsNames: readonly CvLimitsName[] = ["iso-13320", "usp-429"];

/** As quoted second-hand: read the documents before citing their clauses. */
export const cvLimits: Readonly<Record<CvLimitsName, CvLimits>> = {
  "iso-13320": {
    d10Percent: 5,
    d50Percent: 3,
    d90Percent: 5,
    doubledBelowUm: 10,
    source: "ISO 13320, from secondary sources",
  },
  "usp-429": {
    d10Percent: 15,
    d50Percent: 10,
    d90Percent: 15,
    doubledBelowUm: 10,
    source: "USP <429>, from secondary sources",
  },
};
