import { twoOf } from "../lists.ts";

export type FamilyName =
  | "log-normal"
  | "rosin-rammler"
  | "gates-gaudin-schuhmann"
  | "upper-limit-log-normal"
  | "log-logistic"
  | "mixture";

/** In the order in which they are shown: the plainest first. */
export const familyNames: readonly FamilyName[] = [
  "log-normal",
  "rosin-rammler",
  "gates-gaudin-schuhmann",
  "log-logistic",
  "upper-limit-log-normal",
  "mixture",
];

/**
 * The verbs every family has, in the same order.
 * Sizes in µm; fractions 0 … 1, both ends excluded; moments in the family's own quantity, µm^k.
 */
export interface Family<Parameters> {
  readonly name: FamilyName;
  /** Share finer than a size. */
  readonly cdf: (parameters: Parameters, sizeUm: number) => number;
  /** Share coarser than a size, right to the last digit where it is tiny. */
  readonly oversize: (parameters: Parameters, sizeUm: number) => number;
  readonly quantile: (parameters: Parameters, fraction: number) => number;
  /** The size that a fraction of the whole is coarser than: the quantile of the upper half without loss. */
  readonly quantileOfOversize: (parameters: Parameters, fraction: number) => number;
  /** Density per ln x. */
  readonly pdfPerLn: (parameters: Parameters, sizeUm: number) => number;
  /** The mean of x^k, or null where it does not exist. */
  readonly moment: (parameters: Parameters, k: number) => number | null;
  readonly free: FreeForm<Parameters>;
}

/** The same curve in coordinates without constraint, in which fits are made. */
export interface FreeForm<Parameters> {
  readonly toFree: (parameters: Parameters) => readonly number[];
  readonly fromFree: (free: readonly number[]) => Parameters;
  /** Share finer than exp(lnUm); what depends on the coordinates alone is worked out once. */
  readonly undersize: (free: readonly number[]) => (lnUm: number) => number;
  /** Its slope by each coordinate. */
  readonly slopes: (free: readonly number[]) => (lnUm: number) => readonly number[];
  /** The slope of each stated parameter, in the order it is written, by each coordinate. */
  readonly parameterSlopes: (free: readonly number[]) => readonly (readonly number[])[];
}

/** One shape slid and stretched along ln x: Q = F(u), u = (ln x − location)/scale. */
export interface StandardForm {
  readonly undersize: (u: number) => number;
  /** dF/du. */
  readonly slope: (u: number) => number;
  /** d²F/du². */
  readonly curvature: (u: number) => number;
}

/** A family that is one shape slid and stretched; its coordinates are location and ln scale. */
export interface SlidFamily<Parameters> extends Family<Parameters> {
  readonly form: StandardForm;
  /** Parameters whose curve has this median and this ln of D84/D16. */
  readonly start: (d50Um: number, widthLn: number) => Parameters;
}

/** The two coordinates of a slid family from its parameters and back. */
interface SlidCoordinates<Parameters> {
  readonly toFree: (parameters: Parameters) => readonly [number, number];
  readonly fromFree: (location: number, lnScale: number) => Parameters;
  readonly parameterSlopes: (location: number, lnScale: number) => readonly (readonly number[])[];
}

/** The free form of a family that is one shape slid and stretched. */
export function slidForm<Parameters>(
  form: StandardForm,
  { toFree, fromFree, parameterSlopes }: SlidCoordinates<Parameters>,
): FreeForm<Parameters> {
  return {
    toFree,
    fromFree: (free) => fromFree(...twoOf(free)),
    parameterSlopes: (free) => parameterSlopes(...twoOf(free)),
    undersize: (free) => {
      const [location, lnScale] = twoOf(free);
      const scale = Math.exp(lnScale);
      return (lnUm) => form.undersize((lnUm - location) / scale);
    },
    slopes: (free) => {
      const [location, lnScale] = twoOf(free);
      const scale = Math.exp(lnScale);
      return (lnUm) => {
        const u = (lnUm - location) / scale;
        const slope = form.slope(u);
        return [-slope / scale, -slope * u];
      };
    },
  };
}
