import gamma from "@stdlib/math-base-special-gamma";
import { DomainError } from "../domainError.ts";
import type { Family } from "./family.ts";

export interface RosinRammler {
  /** The size with 36.8 % coarser. */
  readonly characteristicUm: number;
  /** Large is narrow. */
  readonly spreadExponent: number;
}

/**
 * Oversize exp(−(x/x′)^n). Source: ISO 9276-3 (RRSB); moments x′^k Γ(1 + k/n), for k > −n.
 * Accuracy: expm1 below and exp above, so tiny shares on either side keep their digits.
 */
export const rosinRammler: Family<RosinRammler> = {
  name: "rosin-rammler",
  form: {
    undersize: (u) => -Math.expm1(-Math.exp(u)),
    slope: (u) => Math.exp(u - Math.exp(u)),
  },
  cdf: (p, sizeUm) => -Math.expm1(-power(p, sizeUm)),
  oversize: (p, sizeUm) => Math.exp(-power(p, sizeUm)),
  quantile: (p, fraction) => at(p, -Math.log1p(-checked(fraction))),
  quantileOfOversize: (p, fraction) => at(p, -Math.log(checked(fraction))),
  pdfPerLn: (p, sizeUm) => p.spreadExponent * power(p, sizeUm) * Math.exp(-power(p, sizeUm)),
  moment: (p, k) =>
    k > -p.spreadExponent ? p.characteristicUm ** k * gamma(1 + k / p.spreadExponent) : null,
  start: (d50Um, widthLn) => {
    const spreadExponent = lnRatioOfQuantiles / widthLn;
    return { characteristicUm: d50Um / Math.LN2 ** (1 / spreadExponent), spreadExponent };
  },
  toStandard: (p) => [Math.log(p.characteristicUm), -Math.log(p.spreadExponent)],
  fromStandard: (location, lnScale) => ({
    characteristicUm: Math.exp(location),
    spreadExponent: Math.exp(-lnScale),
  }),
};

/** ln of D84/D16 for a spread exponent of 1. */
const lnRatioOfQuantiles = Math.log(Math.log(0.16) / Math.log(0.84));

function power({ characteristicUm, spreadExponent }: RosinRammler, sizeUm: number): number {
  if (!(characteristicUm > 0))
    throw new DomainError("characteristicUm", "must be positive", characteristicUm);
  if (!(spreadExponent > 0)) throw new DomainError("spreadExponent", "must be positive", spreadExponent);
  if (!(sizeUm >= 0)) throw new DomainError("sizeUm", "must not be negative", sizeUm);
  return (sizeUm / characteristicUm) ** spreadExponent;
}

function at(p: RosinRammler, minusLogOversize: number): number {
  return p.characteristicUm * minusLogOversize ** (1 / p.spreadExponent);
}

function checked(fraction: number): number {
  if (!(fraction > 0 && fraction < 1))
    throw new DomainError("fraction", "must lie between 0 and 1", fraction);
  return fraction;
}
