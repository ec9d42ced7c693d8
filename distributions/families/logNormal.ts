import erfc from "@stdlib/math-base-special-erfc";
import erfcinv from "@stdlib/math-base-special-erfcinv";
import { DomainError } from "../domainError.ts";
import type { Family } from "./family.ts";

export interface LogNormal {
  readonly medianUm: number;
  /** Geometric standard deviation, at least 1. */
  readonly gsd: number;
}

const normalUndersize = (u: number) => 0.5 * erfc(-u * Math.SQRT1_2);
const normalSlope = (u: number) => Math.exp(-0.5 * u * u) / Math.sqrt(2 * Math.PI);

/**
 * ln x follows a normal curve. Source: ISO 9276-5; moments by Hatch and Choate.
 * Accuracy: tails through erfc, so tiny shares on either side keep their digits.
 */
export const logNormal: Family<LogNormal> = {
  name: "log-normal",
  form: { undersize: normalUndersize, slope: normalSlope },
  cdf: (p, sizeUm) => normalUndersize(deviate(p, sizeUm)),
  oversize: (p, sizeUm) => normalUndersize(-deviate(p, sizeUm)),
  quantile: (p, fraction) => at(p, -Math.SQRT2 * erfcinv(2 * checked(fraction))),
  quantileOfOversize: (p, fraction) => at(p, Math.SQRT2 * erfcinv(2 * checked(fraction))),
  pdfPerLn: (p, sizeUm) => normalSlope(deviate(p, sizeUm)) / sigma(p),
  moment: (p, k) => p.medianUm ** k * Math.exp((k * sigma(p)) ** 2 / 2),
  start: (d50Um, widthLn) => ({ medianUm: d50Um, gsd: Math.exp(widthLn / 2) }),
  toStandard: (p) => [Math.log(p.medianUm), Math.log(sigma(p))],
  fromStandard: (location, lnScale) => ({ medianUm: Math.exp(location), gsd: Math.exp(Math.exp(lnScale)) }),
};

function sigma({ medianUm, gsd }: LogNormal): number {
  if (!(medianUm > 0)) throw new DomainError("medianUm", "must be positive", medianUm);
  if (!(gsd > 1)) throw new DomainError("gsd", "must exceed 1", gsd);
  return Math.log(gsd);
}

function deviate(p: LogNormal, sizeUm: number): number {
  if (!(sizeUm >= 0)) throw new DomainError("sizeUm", "must not be negative", sizeUm);
  return Math.log(sizeUm / p.medianUm) / sigma(p);
}

function at(p: LogNormal, u: number): number {
  return p.medianUm * Math.exp(u * sigma(p));
}

function checked(fraction: number): number {
  if (!(fraction > 0 && fraction < 1))
    throw new DomainError("fraction", "must lie between 0 and 1", fraction);
  return fraction;
}
