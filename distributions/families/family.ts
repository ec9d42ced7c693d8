export type FamilyName = "log-normal" | "rosin-rammler";

export const familyNames: readonly FamilyName[] = ["log-normal", "rosin-rammler"];

/** A value of u = (ln x − location) · slope, and how Q and its slope depend on it. */
export interface StandardForm {
  /** Q as a function of u. */
  readonly undersize: (u: number) => number;
  /** dQ/du. */
  readonly slope: (u: number) => number;
}

/**
 * The verbs every family has, in the same order.
 * Both families of two parameters are one shape slid and stretched along ln x: Q = F((ln x − location)/scale).
 */
export interface Family<Parameters> {
  readonly name: FamilyName;
  readonly form: StandardForm;
  /** Share finer than a size. */
  readonly cdf: (parameters: Parameters, sizeUm: number) => number;
  /** Share coarser than a size, right to the last digit where it is tiny. */
  readonly oversize: (parameters: Parameters, sizeUm: number) => number;
  readonly quantile: (parameters: Parameters, fraction: number) => number;
  /** The size that a fraction of the whole is coarser than: the quantile of the upper half without loss. */
  readonly quantileOfOversize: (parameters: Parameters, fraction: number) => number;
  readonly pdfPerLn: (parameters: Parameters, sizeUm: number) => number;
  /** The mean of x^k in the family's own quantity, or null where it does not exist. */
  readonly moment: (parameters: Parameters, k: number) => number | null;
  /** Parameters whose curve passes through two points of the measured one. */
  readonly start: (d50Um: number, widthLn: number) => Parameters;
  /** (location, ln scale) of the standard form, in which fits are made. */
  readonly toStandard: (parameters: Parameters) => readonly [number, number];
  readonly fromStandard: (location: number, lnScale: number) => Parameters;
}

/** A family with its parameters, as answers carry it. */
export type FittedCurve =
  | {
      readonly family: "log-normal";
      readonly parameters: { readonly medianUm: number; readonly gsd: number };
    }
  | {
      readonly family: "rosin-rammler";
      readonly parameters: { readonly characteristicUm: number; readonly spreadExponent: number };
    };
