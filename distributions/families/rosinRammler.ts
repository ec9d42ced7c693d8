import gamma from "@stdlib/math-base-special-gamma";
import { inside, positive, size } from "./checks.ts";
import { type SlidFamily, type StandardForm, slidForm } from "./family.ts";

export interface RosinRammler {
  /** The size with 36.8 % coarser. */
  readonly characteristicUm: number;
  /** Large is narrow. */
  readonly spreadExponent: number;
}

const form: StandardForm = {
  undersize: (u) => -Math.expm1(-Math.exp(u)),
  slope: (u) => Math.exp(u - Math.exp(u)),
  curvature: (u) => Math.exp(u - Math.exp(u)) * (1 - Math.exp(u)),
};

/**
 * Oversize exp(−(x/x′)^n).
 * Domain: x′ and n above 0. Moments x′^k Γ(1 + k/n) exist for k > −n only: no area for n ≤ 1, no number basis for n ≤ 3.
 * Accuracy: expm1 below and exp above, so tiny shares on either side keep their digits.
 * Source: ISO 9276-3 (RRSB).
 */
export const rosinRammler: SlidFamily<RosinRammler> = {
  name: "rosin-rammler",
  form,
  cdf: (p, sizeUm) => -Math.expm1(-power(p, sizeUm)),
  oversize: (p, sizeUm) => Math.exp(-power(p, sizeUm)),
  quantile: (p, fraction) => at(p, -Math.log1p(-inside(fraction))),
  quantileOfOversize: (p, fraction) => at(p, -Math.log(inside(fraction))),
  pdfPerLn: (p, sizeUm) => p.spreadExponent * power(p, sizeUm) * Math.exp(-power(p, sizeUm)),
  moment: (p, k) =>
    k > -p.spreadExponent ? p.characteristicUm ** k * gamma(1 + k / p.spreadExponent) : null,
  start: (d50Um, widthLn) => {
    const spreadExponent = lnRatioOfQuantiles / widthLn;
    return { characteristicUm: d50Um / Math.LN2 ** (1 / spreadExponent), spreadExponent };
  },
  free: slidForm(form, {
    toFree: (p) => [Math.log(p.characteristicUm), -Math.log(p.spreadExponent)],
    fromFree: (location, lnScale) => ({
      characteristicUm: Math.exp(location),
      spreadExponent: Math.exp(-lnScale),
    }),
    parameterSlopes: (location, lnScale) => [
      [Math.exp(location), 0],
      [0, -Math.exp(-lnScale)],
    ],
  }),
};

/** ln of D84/D16 for a spread exponent of 1. */
const lnRatioOfQuantiles = Math.log(Math.log(0.16) / Math.log(0.84));

function power(p: RosinRammler, sizeUm: number): number {
  const { characteristicUm, spreadExponent } = p;
  return (
    (size(sizeUm) / positive("characteristicUm", characteristicUm)) **
    positive("spreadExponent", spreadExponent)
  );
}

function at(p: RosinRammler, minusLogOversize: number): number {
  return p.characteristicUm * minusLogOversize ** (1 / p.spreadExponent);
}
