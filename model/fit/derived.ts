import { type FittedCurve, verbsOf } from "#distributions/families/fittedCurve.ts";
import { quantileInOther } from "#distributions/families/otherQuantity.ts";
import { type Quantity, quantityOrder } from "#distributions/sizeDistribution.ts";

/** What follows from a fitted curve. A null has its reason in `refused`. */
export interface Derived {
  /** Weighted by this quantity. */
  readonly quantity: Quantity;
  readonly percentilesUm: Readonly<Record<string, number | null>>;
  readonly meansUm: {
    readonly "4,3": number | null;
    readonly "3,2": number | null;
    readonly "1,0": number | null;
  };
  /** Null without a density too. */
  readonly surfaceM2PerG: number | null;
  readonly refused: readonly string[];
}

/**
 * Percentiles, means and area of a fitted curve, counted by any quantity where the integral exists.
 *
 * @param quantity  what the curve was fitted in
 * @param as        what the percentiles are weighted by
 * Source: ISO 9276-2, ISO 9276-5; D[p,q] = (M_{p−r}/M_{q−r})^{1/(p−q)}.
 */
export function derivedFrom(
  curve: FittedCurve,
  quantity: Quantity,
  { as = quantity, densityGPerCm3 }: { readonly as?: Quantity; readonly densityGPerCm3?: number } = {},
): Derived {
  const verbs = verbsOf(curve);
  const r = quantityOrder[quantity];
  const refused: string[] = [];
  /** D[p,p−1]: the root is the first. */
  const ratio = (p: number): number | null => {
    const above = verbs.moment(p - r);
    const below = verbs.moment(p - 1 - r);
    return above === null || below === null ? null : above / below;
  };
  const meansUm = { "4,3": ratio(4), "3,2": ratio(3), "1,0": ratio(1) };
  const quantile = quantileInOther(verbs, quantityOrder[as] - r);
  if (quantile === null)
    refused.push(`${capital(as)} percentiles cannot be calculated: ${whyNot(curve, quantityOrder[as] - r)}.`);
  for (const [pq, lowest] of [
    ["4,3", 3],
    ["3,2", 2],
    ["1,0", 0],
  ] as const)
    if (meansUm[pq] === null) refused.push(`D[${pq}] cannot be calculated: ${whyNot(curve, lowest - r)}.`);
  if (densityGPerCm3 !== undefined && meansUm["3,2"] === null)
    refused.push(`The area cannot be calculated: ${whyNot(curve, 2 - r)}.`);
  return {
    quantity: as,
    percentilesUm: Object.fromEntries(
      [10, 50, 90].map((p) => [String(p), quantile === null ? null : quantile(p / 100)]),
    ),
    meansUm,
    surfaceM2PerG:
      densityGPerCm3 === undefined || meansUm["3,2"] === null ? null : 6 / (densityGPerCm3 * meansUm["3,2"]),
    refused,
  };
}

function whyNot(curve: FittedCurve, k: number): string {
  const remedy = "use the measured classes instead, or measure the fines in finer classes";
  switch (curve.family) {
    case "rosin-rammler":
      return `the integral over x^${k} diverges for a spread exponent of ${curve.parameters.spreadExponent.toPrecision(3)}, which must exceed ${-k}; ${remedy}`;
    case "gates-gaudin-schuhmann":
    case "log-logistic":
      return `the integral over x^${k} diverges for an exponent of ${curve.parameters.exponent.toPrecision(3)}, which must exceed ${Math.abs(k)}; ${remedy}`;
    default:
      return `the integral over x^${k} diverges; ${remedy}`;
  }
}

function capital(word: string): string {
  return word.charAt(0).toUpperCase() + word.slice(1);
}
